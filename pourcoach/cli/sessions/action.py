"""One action of ``pourcoach sessions``."""

import argparse
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Action:
    """A word after the command."""

    name: str
    line: str
    """Of help."""
    example: str
    """What may follow the name."""
    configure: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]
    """The exit status. Raises PourcoachError."""
    judges: bool = False
    """Whether brews are judged on the way, by a rubric that can be chosen."""
