"""``pourcoach report``: writes a page, a table or a chart of recordings."""

import argparse
from pathlib import Path

from pourcoach.cli.out_option import add_out_option, refuse_taken
from pourcoach.cli.recording_search import Found, Search, add_search_options
from pourcoach.cli.rubric_option import add_rubric_option, rubric_from
from pourcoach.cli.settings_option import add_settings_option
from pourcoach.cli.terminal import say_error
from pourcoach.coaching.rubric import Rubric
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.reports.brew_report import BrewReport, read_brew
from pourcoach.reports.report_file import report_writer
from pourcoach.session.rubric_in_use import judged_under
from pourcoach.text_file import write_bytes

EXAMPLE = "pourcoach report stall --out stall.html"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "recordings",
        nargs="*",
        type=Path,
        metavar="RECORDING",
        help="recordings (or names of kept ones), or folders of them",
    )
    add_search_options(parser)
    add_out_option(
        parser,
        "the report: .html a page, .csv a table, .json the figures, .svg or .png the chart",
        required=True,
    )
    add_rubric_option(parser)
    add_settings_option(parser)


def run(args: argparse.Namespace) -> int:
    write = report_writer(args.out.suffix)
    if not args.recordings:
        raise UsageError("no recording is named", "name recordings, or folders of them")
    refuse_taken(args, args.out)
    rubric = rubric_from(args)
    search = Search(args.recordings, args.by, args.since)
    brews, failed = _read(search.found(), rubric)
    if not brews:
        raise WorkError("there is nothing to report", "name a recording that can be read")
    write_bytes(args.out, write(brews), over=args.force)
    print(f"The report is {args.out}")
    return 1 if failed or search.failed else 0


def _read(found: list[Found], rubric: Rubric) -> tuple[list[BrewReport], bool]:
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
