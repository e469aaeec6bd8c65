"""The recordings that come with the program, and finding a recording by its name."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import WorkError
from pourcoach.recordings.tape import SUFFIXES

_INDEX = "index.toml"
# In a wheel they are put beside this file; in a checkout they stand at its top.
_FOLDERS = (Path(__file__).parent / "shipped", Path(__file__).parents[2] / "recordings")


@dataclass(frozen=True, slots=True)
class Card:
    """What a recording shows."""

    title: str
    see: str
    """What to look at in it, as a sentence."""


def shipped_folder() -> Path | None:
    """The folder they are in; None where a package left them out."""
    return next((folder for folder in _FOLDERS if (folder / _INDEX).is_file()), None)


def shipped_recordings() -> Mapping[Path, Card]:
    """All of them, in the order in which they are best looked at."""
    folder = shipped_folder()
    if folder is None:
        return {}
    text = (folder / _INDEX).read_text(encoding="utf-8")
    index = CheckedTable.from_toml(f"the list of recordings {folder / _INDEX}", text)
    entries = map(index.table, index.all_keys())
    return {
        folder / entry.text("file"): Card(entry.text("title"), entry.text("see"))
        for entry in entries
    }


def find_recording(name: str, folders: Iterable[Path]) -> Path:
    """The file ``name``; else the recording of that name, with or without its suffix, in one of
    ``folders`` or among those that come with the program.

    Raises WorkError where there is none.
    """
    path = Path(name)
    if path.exists() or len(path.parts) != 1:
        return path
    shipped = shipped_folder()
    for folder in (*folders, *([] if shipped is None else [shipped])):
        for suffix in ("", *SUFFIXES):
            found = folder / f"{name}{suffix}"
            if found.is_file():
                return found
    names = ", ".join(stem_of(path) for path in shipped_recordings())
    raise WorkError(f"there is no file {name}", f"name a recording, or one of: {names}")


def stem_of(path: Path) -> str:
    """A recording's name without its suffix."""
    suffix = next((each for each in reversed(SUFFIXES) if path.name.endswith(each)), "")
    return path.name.removesuffix(suffix)
