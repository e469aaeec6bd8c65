"""Who brewed, as it is known now: a brew may have been given to a person after it was recorded."""

from dataclasses import replace
from pathlib import Path

from pourcoach.domain.errors import WorkError
from pourcoach.library.brews import brew_on
from pourcoach.library.library import Library, library_path
from pourcoach.recordings.tape import TapeHeader


def as_known(header: TapeHeader, tape: Path) -> TapeHeader:
    """The tape's header, with who brewed by the library where that has the brew."""
    if not library_path().exists():
        return header
    try:
        with Library(library_path()) as library:
            brew = brew_on(library, tape)
    except WorkError:
        return header  # A library that cannot be read keeps no recording from being looked at.
    return header if brew is None else replace(header, by=brew.by)
