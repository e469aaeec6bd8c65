"""argparse, with wrong use reported the way the rest of the program does."""

import argparse
from typing import NoReturn

from pourcoach.domain.errors import UsageError


class Parser(argparse.ArgumentParser):
    """Raises UsageError, one line, in place of printing a usage text and leaving."""

    def error(self, message: str) -> NoReturn:
        raise UsageError(message, f"see '{self.prog} --help'")
