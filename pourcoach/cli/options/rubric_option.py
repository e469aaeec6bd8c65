"""``--rubric``, and the rubric that a command marks by."""

import argparse
from pathlib import Path

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.session.rubric_in_use import rubric_in_use


def add_rubric_option(parser: argparse.ArgumentParser) -> None:
    """Give the parser ``--rubric``. The settings option must be given, too."""
    parser.add_argument(
        "--rubric",
        type=Path,
        metavar="FILE",
        help="mark by this rubric, a TOML file (default: your rubric.toml, else the usual one)",
    )


def rubric_from(args: argparse.Namespace) -> Rubric:
    """The rubric named, else the user's own, left out with ``--no-config``, else the usual.

    Raises PourcoachError where it cannot be read.
    """
    return rubric_in_use(args.rubric, own=not args.no_config)
