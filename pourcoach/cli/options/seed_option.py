"""``--seed``: which of all simulated brews."""

import argparse

from pourcoach.scales.address import LARGEST_SEED


def add_seed_option(parser: argparse.ArgumentParser) -> None:
    """Give the parser ``--seed``."""
    parser.add_argument(
        "--seed",
        type=_seed,
        default=1,
        metavar="N",
        help="another number, another brew of that hand (default %(default)s)",
    )


def _seed(text: str) -> int:
    # As in a scale address, so that what was simulated can be brewed with live.
    if not (text.isascii() and text.isdecimal() and len(text) < 20 and int(text) <= LARGEST_SEED):
        raise argparse.ArgumentTypeError(
            f"{text!r} is no whole number; use one from 0 to {LARGEST_SEED}"
        )
    return int(text)
