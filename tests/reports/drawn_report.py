"""A recording that comes with the program, read once for all tests of reports."""

from functools import cache

from pourcoach.recordings.shipped import find_recording
from pourcoach.recordings.tape import TapeHeader
from pourcoach.reports.brew.brew_report import BrewReport, read_brew
from tests.reports.made_brew import USUAL_RUBRIC


@cache
def shipped_brew(name: str) -> BrewReport:
    """Judged by the usual rubric."""

    def as_it_is(header: TapeHeader) -> TapeHeader:
        return header

    return read_brew(find_recording(name, []), USUAL_RUBRIC, as_it_is, name)
