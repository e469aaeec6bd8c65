"""``--out FILE`` and ``--force``: where a result is written, the same on every command."""

import argparse
from pathlib import Path

from pourcoach.text_file import refuse_existing


def add_out_option(
    parser: argparse.ArgumentParser,
    text: str,
    *,
    required: bool = False,
    former: tuple[str, ...] = (),
) -> None:
    """Give the parser ``--out``, explained by ``text``, and ``--force``.

    ``former`` spellings are still taken and no longer shown.
    """
    parser.add_argument("--out", type=Path, required=required, metavar="FILE", help=text)
    add_former(parser, "out", former)
    parser.add_argument(
        "--force", action="store_true", help="write over what is there already (default: refuse)"
    )


def add_former(parser: argparse.ArgumentParser, dest: str, spellings: tuple[str, ...]) -> None:
    """Take former spellings of a file option."""
    for spelling in spellings:
        parser.add_argument(
            spelling, dest=dest, type=Path, default=argparse.SUPPRESS, help=argparse.SUPPRESS
        )


def refuse_taken(args: argparse.Namespace, *paths: Path | None) -> None:
    """Before the work: WorkError where a file is there already and ``--force`` is not given."""
    for path in paths:
        if path is not None:
            refuse_existing(path, over=args.force)
