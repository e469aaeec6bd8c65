"""``pourcoach analyse``: prints all figures of one or many recordings."""

import argparse
from collections.abc import Iterator
from pathlib import Path

from pourcoach.cli.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.settings_option import add_settings_option
from pourcoach.cli.terminal import LONGEST_ERROR, say_error
from pourcoach.coaching.marking import mark
from pourcoach.coaching.rubric import DEFAULT_RUBRIC
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.printable import json_text, printable
from pourcoach.recordings.fold import judged_tape
from pourcoach.recordings.shelf import tapes_in
from pourcoach.reports.figures import figures
from pourcoach.reports.plain_review import review_lines
from pourcoach.session.rubric_in_use import judged_under

EXAMPLE = "pourcoach analyse recordings/uneven.jsonl --json"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("recordings", nargs="*", type=Path, help="tapes, or folders of tapes")
    add_rubric_option(parser)
    parser.add_argument(
        "--show-rubric", action="store_true", help="print the usual rubric, to be changed, and end"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object a recording")
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    if args.show_rubric:
        print(DEFAULT_RUBRIC, end="")
        return 0
    if not args.recordings:
        raise UsageError("no recording is told", "name tapes, or folders of tapes")
    rubric = rubric_from(args)
    failed = False
    several = len(args.recordings) > 1 or args.recordings[0].is_dir()
    for path in _tapes(args.recordings):
        try:
            if path.is_dir():
                raise WorkError(f"there are no tapes in {path}")
            tape = judged_tape(path, lambda header: judged_under(header, rubric))
        except WorkError as error:
            # One bad tape among many must not keep the others from being told.
            say_error(error)
            failed = True
            continue
        last, header = tape.last, tape.header
        if args.json:
            marks = None
            if last is not None:
                marks = mark(last, header.plan, rubric, header.setup.arrangement)
            print(json_text(figures(str(path), tape, marks)))
        else:
            lines = [f"== {printable(str(path), LONGEST_ERROR)}"] if several else []
            lines += review_lines(last, header.plan, rubric, header.setup.arrangement)
            print("\n".join(lines + [""] * several))
        if tape.problem is not None:
            say_error(WorkError(f"{path}: {tape.problem}"))
            failed = True
    return 1 if failed else 0


def _tapes(paths: list[Path]) -> Iterator[Path]:
    for path in paths:
        if not path.is_dir():
            yield path
            continue
        # A folder without tapes is told in its turn, as a bad tape is.
        yield from sorted(tapes_in(path)) or [path]
