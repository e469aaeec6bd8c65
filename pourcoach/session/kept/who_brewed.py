"""Who brewed, as it is known now: a brew may have been given to a person after it was recorded."""

from dataclasses import replace
from pathlib import Path

from pourcoach.library.brews import brew_on
from pourcoach.library.library import ask_library
from pourcoach.recordings.tape import TapeHeader


def as_known(header: TapeHeader, tape: Path) -> TapeHeader:
    """The tape's header, with who brewed by the library where that has the brew."""
    brew = ask_library(lambda library: brew_on(library, tape), None)
    return header if brew is None else replace(header, by=brew.by)
