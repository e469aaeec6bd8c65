"""The recording that a name means: a file, one that is kept, or one that comes with the program."""

from pathlib import Path

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.library.brews import brew_called
from pourcoach.library.library import ask_library
from pourcoach.places import tapes_folder
from pourcoach.recordings.shipped import find_recording


def recording_called(name: str) -> Path:
    """By its path or its bare name, else by the id or the title that the library has for it.

    Raises WorkError where there is none.
    """
    try:
        return find_recording(name, [tapes_folder()])
    except WorkError:
        kept = _kept(name)
        if kept is None:
            raise
        return kept


def _kept(name: str) -> Path | None:
    """None where no kept brew, or more than one, is called so, or the library cannot be read.
    Raises WorkError where its recording is gone.
    """
    try:
        brew = ask_library(lambda library: brew_called(library, name), None)
    except UsageError:
        return None
    if brew is not None and brew.is_missing:
        raise WorkError(
            f"the recording of {name} is gone: {brew.tape}",
            "put it back; 'pourcoach sessions show' has what is known of the brew",
        )
    return None if brew is None else brew.tape
