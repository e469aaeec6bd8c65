"""``pourcoach report``: writes a page, a table or a chart of brews, of a person or of a class."""

import argparse
from collections.abc import Sequence
from pathlib import Path

from pourcoach.cli.out_option import add_out_option, refuse_taken
from pourcoach.cli.recording_search import FoundRecording, RecordingSearch, add_search_options
from pourcoach.cli.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.settings_option import add_settings_option
from pourcoach.cli.terminal import say_error
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.places import tapes_folder
from pourcoach.reports.brew_report import BrewReport, read_brew
from pourcoach.reports.group.group_brew import GroupBrew
from pourcoach.reports.report_file import brews_writer, class_writer, person_writer
from pourcoach.session.rubric_in_use import judged_under
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
    search = RecordingSearch(args.recordings or [tapes_folder()], args.by, args.since)
    found = search.found()
    if args.people:
        found = _of_people(found, args.people)
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


def _remedy(args: argparse.Namespace) -> str:
    if args.by is not None or args.people:
        return "look who has brewed with 'pourcoach analyse FOLDER'"
    return "name a recording that can be read"


def _of_people(found: Sequence[FoundRecording], names: str) -> list[FoundRecording]:
    wanted = {name.strip().casefold() for name in names.split(",")}
    return [one for one in found if (one.header.by or "").casefold() in wanted]


def _read(found: Sequence[FoundRecording], rubric: Rubric) -> tuple[list[BrewReport], bool]:
    """The brews that can be judged, and whether something was wrong with one."""
    brews: list[BrewReport] = []
    failed = False
    for one in found:
        try:
            brew = read_brew(one.path, rubric, lambda header: judged_under(header, rubric))
        except WorkError as error:
            say_error(error)
            failed = True
            continue
        if brew.tape.problem is not None:
            say_error(WorkError(f"{one.path}: {brew.tape.problem}"))
            failed = True
        brews.append(brew)
    return brews, failed
