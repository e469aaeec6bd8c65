"""``pourcoach report``: writes a page, a table or a chart of brews, of a person or of a class."""

import argparse
from collections.abc import Sequence
from pathlib import Path

from pourcoach import wall_clock
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.out_option import add_out_option, refuse_taken
from pourcoach.cli.options.recording_search import (
    FoundRecording,
    RecordingSearch,
    add_search_options,
)
from pourcoach.cli.options.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.options.settings_option import add_settings_option
from pourcoach.cli.sessions.shelf import judged_group, open_shelf
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.library.records import Search
from pourcoach.practice.progress.progress import DrillProgress
from pourcoach.reports.brew.brew_report import BrewReport, read_brew
from pourcoach.reports.group.group_brew import GroupBrew
from pourcoach.reports.report_file import brews_writer, class_writer, person_writer
from pourcoach.text_file import write_bytes

EXAMPLE = "pourcoach report stall --out stall.html"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "recordings",
        nargs="*",
        type=Path,
        metavar="RECORDING",
        help="recordings (or names of kept ones), or folders of them: one is reported, 2 to 6 are "
        "set side by side; with --by or --class all that are kept, where none is named",
    )
    add_search_options(parser, "report the progress of this person")
    parser.add_argument(
        "--class",
        dest="people",
        nargs="?",
        const="",
        metavar="NAME,NAME",
        help="report a class: whose fault is whose, among these people (default: everybody); put "
        "recordings before it",
    )
    add_out_option(
        parser,
        "the report: .html a page, .csv a table, .json the figures, .svg or .png the chart",
        required=True,
    )
    add_rubric_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    if args.by is not None and args.people is not None:
        raise UsageError("--by is of one person and --class of several", "leave one of them out")
    suffix = args.out.suffix
    if args.people is not None:
        group = class_writer(suffix)
    elif args.by is not None:
        group = person_writer(suffix)
    else:
        write = brews_writer(suffix)
        if not args.recordings:
            raise UsageError("no recording is named", "name recordings, or give --by or --class")
    refuse_taken(args, args.out)
    rubric = rubric_from(args)
    if not args.recordings:
        if args.by is not None:
            group = person_writer(suffix, _practice(args.by))
        write_bytes(args.out, group(_kept(args, rubric)), over=args.force)
        print(f"The report is {args.out}")
        return 0
    search = RecordingSearch(args.recordings, args.by, args.since)
    found = search.found()
    if wanted := _people(args):
        found = [one for one in found if (one.header.by or "").casefold() in wanted]
    brews, failed = _read(found, rubric)
    if not brews:
        raise WorkError("there is nothing to report", _remedy(args))
    if args.people is None and args.by is None:
        data = write(brews)
    else:
        data = group([GroupBrew.of(brew) for brew in brews])
    write_bytes(args.out, data, over=args.force)
    print(f"The report is {args.out}")
    return 1 if failed or search.failed else 0


def _kept(args: argparse.Namespace, rubric: Rubric) -> list[GroupBrew]:
    """What the library keeps of the people asked for; figures are those that it has."""
    wanted = _people(args)
    asked = Search(by=args.by, since=None if args.since is None else args.since.date())
    with open_shelf(rubric) as library:
        brews = [
            group_brew
            for brew, group_brew in judged_group(library, asked)
            if not wanted or (brew.by or "").casefold() in wanted
        ]
    if not brews:
        raise WorkError("there is nothing to report", _remedy(args))
    return brews


def _practice(by: str) -> Sequence[DrillProgress]:
    """What the person has learnt in drills."""
    from pourcoach.session.practice.progress import practice_progress

    return practice_progress(by, wall_clock.now()).drills


def _remedy(args: argparse.Namespace) -> str:
    if args.by is not None or args.people:
        return "look who has brewed with 'pourcoach sessions people'"
    return "name a recording that can be read"


def _people(args: argparse.Namespace) -> set[str]:
    """The people of the class, casefolded; empty for everybody."""
    return {name.strip().casefold() for name in (args.people or "").split(",") if name.strip()}


def _read(found: Sequence[FoundRecording], rubric: Rubric) -> tuple[list[BrewReport], bool]:
    """The brews that can be judged, and whether something was wrong with one."""
    brews: list[BrewReport] = []
    failed = False
    for one in found:
        try:
            brew = read_brew(one.path, rubric, one.under(rubric))
        except WorkError as error:
            say_error(error)
            failed = True
            continue
        if brew.tape.problem is not None:
            say_error(WorkError(f"{one.path}: {brew.tape.problem}"))
            failed = True
        brews.append(brew)
    return brews, failed
