"""The program attacked: ``python -m tests.attacks [--long] [NAME …] [--seed N] [--size N]``."""

import argparse
import sys
import time

from tests.attacks import (
    clocks,
    disks,
    ends,
    every_option,
    files,
    floods,
    hostile_text,
    links,
    rest,
)
from tests.attacks.tally import HEADING, Attack

ATTACKS: dict[str, Attack] = {
    "files": files.attack,
    "cuts": files.cuts,
    "text": hostile_text.attack,
    "options": every_option.attack,
    "ends": ends.attack,
    "links": links.attack,
    "floods": floods.attack,
    "disks": disks.attack,
    "clocks": clocks.attack,
    "rest": rest.attack,
}
LONG = 50
"""The long form's size where none is given: some hours."""


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.attacks")
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(ATTACKS))
    parser.add_argument("--long", action="store_true", help=f"the same as --size {LONG}")
    parser.add_argument("--size", type=int, help="how many times the small form (1)")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    for name in args.names:
        if name not in ATTACKS:
            parser.error(f"there is no attack {name!r}: there are {', '.join(ATTACKS)}")
    size = args.size or (LONG if args.long else 1)
    failed = False
    print(HEADING)
    for name in args.names or ATTACKS:
        began_s = time.monotonic()
        for tally in ATTACKS[name](args.seed, size):
            print("\n".join(tally.lines()), flush=True)
            failed = failed or bool(tally.failures)
        print(f"  ({name}: {time.monotonic() - began_s:.0f} s)", flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
