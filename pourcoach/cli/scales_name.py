"""``pourcoach scales name``: gives a scale a name to be used in its address's place."""

import argparse

from pourcoach.domain.errors import UsageError
from pourcoach.scales.known.names import give_name, take_name_away

EXAMPLE = 'pourcoach scales name "station 3" serial:/dev/ttyUSB0'


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help="what to call it")
    parser.add_argument(
        "address", nargs="?", metavar="ADDRESS", help="which scale it is (needed to name one)"
    )
    parser.add_argument("--remove", action="store_true", help="forget the name")
    parser.add_argument(
        "--force", action="store_true", help="move the name here if another scale has it"
    )


def run(args: argparse.Namespace) -> int:
    if args.remove:
        if args.address is not None:
            raise UsageError("--remove takes only the name")
        take_name_away(args.name)
        return 0
    if args.address is None:
        raise UsageError("no address is given", f"write it behind the name: {EXAMPLE}")
    named = give_name(args.name, args.address, over=args.force)
    by = "its USB serial number, whatever its port" if named.usb is not None else "its address"
    print(f"{named.name} is {named.address}, known by {by}.")
    return 0
