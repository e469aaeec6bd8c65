"""``--seed``: which of all simulated brews."""

import argparse

from pourcoach.cli.options.whole_number import whole_number
from pourcoach.scales.address import LARGEST_SEED


def add_seed_option(parser: argparse.ArgumentParser) -> None:
    """Give the parser ``--seed``."""
    parser.add_argument(
        "--seed",
        # As in a scale address, so that what was simulated can be brewed with live.
        type=whole_number(0, LARGEST_SEED),
        default=1,
        metavar="N",
        help="another number, another brew of that hand (default %(default)s)",
    )
