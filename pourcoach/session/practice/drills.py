"""The drills at hand: those that come with the program, and a trainer's own."""

from pathlib import Path

import pourcoach.practice.drill
from pourcoach.domain.errors import PourcoachError, UsageError
from pourcoach.places import data_folder
from pourcoach.practice.drill.drill import Drill
from pourcoach.practice.drill.drill_file import drill_from_toml
from pourcoach.text_file import content_of, read_text

SUFFIX = ".toml"
# In the order in which they are best learnt: one figure at a time, then several.
ORDER = ("steady", "landing", "bloom", "pulses", "change-of-pace", "full-brew", "eyes-off")
_SHIPPED = Path(pourcoach.practice.drill.__file__).parent / "shipped"


def own_drills_folder() -> Path:
    """Where a trainer's drills are found by their names. Not created here."""
    return data_folder() / "drills"


def drills() -> tuple[tuple[Drill, ...], tuple[str, ...]]:
    """All of them, those that come with the program first; and a sentence for each file of the
    trainer's that is none.
    """
    found = [read_drill(_SHIPPED / f"{name}{SUFFIX}") for name in ORDER]
    troubles: list[str] = []
    for path in sorted(own_drills_folder().glob(f"*{SUFFIX}")):
        try:
            found.append(read_drill(path))
        except PourcoachError as error:
            troubles.append(str(error))
    return tuple(found), tuple(troubles)


def find_drill(name: str) -> Drill:
    """The drill of that name, or in that file. Raises UsageError where there is none."""
    path = Path(name)
    if path.suffix == SUFFIX:
        return read_drill(path)
    known, _ = drills()
    for drill in known:
        if drill.name == name.strip().lower().replace(" ", "-"):
            return drill
    names = ", ".join(drill.name for drill in known)
    raise UsageError(f"there is no drill {name!r:.60}", f"name a .toml file, or one of: {names}")


def read_drill(path: Path) -> Drill:
    """The drill in a file, named after it. Raises WorkError, with the file's name, where it cannot
    be read or holds none.
    """
    with content_of(path):
        return drill_from_toml(path.stem, read_text(path, "the drill"))
