"""``pourcoach analyse``: prints all figures of one or many recordings."""

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path

from pourcoach.domain.errors import WorkError
from pourcoach.recordings.fold import final_frame
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.tape import read_tape
from pourcoach.reports.figures import figures
from pourcoach.reports.plain_review import review_lines

EXAMPLE = "pourcoach analyse recordings/uneven.jsonl --json"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("recordings", nargs="+", type=Path, help="tapes, or folders of tapes")
    parser.add_argument("--json", action="store_true", help="print one JSON object a recording")


def run(args: argparse.Namespace) -> int:
    failed = False
    several = len(args.recordings) > 1 or args.recordings[0].is_dir()
    for path in _tapes(args.recordings):
        try:
            tape = read_tape(path)
        except WorkError as error:
            # One bad tape among many must not keep the others from being told.
            print(f"pourcoach: {error}", file=sys.stderr)
            failed = True
            continue
        last = final_frame(tape)
        if args.json:
            print(json.dumps(figures(str(path), tape, last), ensure_ascii=False))
        else:
            if several:
                print(f"== {path}")
            print("\n".join(review_lines(last, tape.header.plan)))
            if several:
                print()
        if tape.problem is not None:
            print(f"pourcoach: {path}: {tape.problem}", file=sys.stderr)
            failed = True
    return 1 if failed else 0


def _tapes(paths: list[Path]) -> Iterator[Path]:
    for path in paths:
        if not path.is_dir():
            yield path
            continue
        inside = sorted(tapes_in(path))
        if not inside:
            print(f"pourcoach: there are no tapes in {path}", file=sys.stderr)
        yield from inside
