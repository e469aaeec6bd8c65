"""``pourcoach analyse``: prints all figures of one or many recordings."""

import argparse
from datetime import UTC, datetime
from pathlib import Path

from pourcoach.cli.console.terminal import LONGEST_ERROR, say_error
from pourcoach.cli.options.recording_search import (
    FoundRecording,
    RecordingSearch,
    add_search_options,
)
from pourcoach.cli.options.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.options.settings_option import add_settings_option
from pourcoach.coaching.marking.marking import mark
from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC, Rubric
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.printable import json_text, printable
from pourcoach.recordings.fold import judged_tape
from pourcoach.reports.brew.brew_line import brew_line, list_heading
from pourcoach.reports.brew.brew_report import read_brew
from pourcoach.reports.brew.plain_review import review_lines
from pourcoach.reports.comparison.comparison import compare
from pourcoach.reports.comparison.comparison_figures import comparison_figures
from pourcoach.reports.comparison.comparison_text import comparison_lines
from pourcoach.reports.figures import figures

EXAMPLE = "pourcoach analyse recordings --by Ada --since 2026-01-01"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "recordings",
        nargs="*",
        type=Path,
        metavar="RECORDING",
        help="recordings (or names of kept ones), each shown in full, or folders, one line a "
        "recording, sub-folders too",
    )
    parser.add_argument(
        "--details", action="store_true", help="show every recording of a folder in full"
    )
    parser.add_argument(
        "--compare",
        action="store_true",
        help="set 2 to 6 recordings side by side, with differences",
    )
    add_search_options(parser)
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
        raise UsageError("no recording is named", "name recordings, or folders of them")
    rubric = rubric_from(args)
    search = RecordingSearch(args.recordings, args.by, args.since)
    found = search.found()
    if not found and not search.failed:
        raise WorkError("no recording is of that person and time", "leave out --by or --since")
    if args.compare:
        return 1 if _compare(found, rubric, as_json=args.json) or search.failed else 0
    listing = any(path.is_dir() for path in args.recordings) and not args.details
    if listing and not args.json:
        found = sorted(found, key=lambda one: one.recorded_at or _NEVER, reverse=True)
        failed = _list(found, rubric)
    else:
        failed = _show(found, rubric, args)
    return 1 if failed or search.failed else 0


_NEVER = datetime.min.replace(tzinfo=UTC)


def _list(found: list[FoundRecording], rubric: Rubric) -> bool:
    """A line each, as it is judged; whether something was wrong with one."""
    failed = False
    who = max((len(one.header.by or "") for one in found), default=0)
    print(list_heading(who))
    for one in found:
        tape = judged_tape(one.path, one.under(rubric))
        header, last = tape.header, tape.last
        marks = None
        if last is not None:
            marks = mark(last, header.plan, rubric, header.setup.arrangement)
        name = printable(str(one.path), LONGEST_ERROR)
        print(brew_line(name, header, last, marks, who), flush=True)
        failed |= _report_broken(one.path, tape.problem)
    print(f"\n{len(found)} recordings. Name one, or give --details, to see it in full.")
    return failed


def _compare(found: list[FoundRecording], rubric: Rubric, *, as_json: bool) -> bool:
    """Side by side; whether something was wrong with one."""
    brews = [read_brew(one.path, rubric, one.under(rubric)) for one in found]
    comparison = compare(brews)
    if as_json:
        print(json_text(comparison_figures(comparison)))
    else:
        print("\n".join(comparison_lines(comparison)))
    broken = [_report_broken(Path(brew.recording), brew.tape.problem) for brew in brews]
    return any(broken)


def _show(found: list[FoundRecording], rubric: Rubric, args: argparse.Namespace) -> bool:
    """Each in full; whether something was wrong with one."""
    failed = False
    several = len(args.recordings) > 1 or args.recordings[0].is_dir()
    for one in found:
        tape = judged_tape(one.path, one.under(rubric))
        last, header = tape.last, tape.header
        if args.json:
            marks = None
            if last is not None:
                marks = mark(last, header.plan, rubric, header.setup.arrangement)
            print(json_text(figures(str(one.path), tape, marks)), flush=True)
        else:
            lines = [f"== {printable(str(one.path), LONGEST_ERROR)}"] if several else []
            lines += review_lines(last, header.plan, rubric, header.setup.arrangement)
            print("\n".join(lines + [""] * several))
        failed |= _report_broken(one.path, tape.problem)
    return failed


def _report_broken(path: Path, problem: str | None) -> bool:
    if problem is not None:
        say_error(WorkError(f"{path}: {problem}"))
    return problem is not None
