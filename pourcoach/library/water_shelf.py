"""The user's saved waters, ``waters.toml`` in the configuration folder."""

from pathlib import Path

from pourcoach.brewing.water import DEMINERALISED, Water
from pourcoach.brewing.water_file import waters_from_toml, waters_to_toml
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.places import config_folder
from pourcoach.text_file import write_whole

PURE = "demineralised"
"""Known without being saved."""


def waters_path() -> Path:
    """Where they are kept."""
    return config_folder() / "waters.toml"


def saved_waters() -> dict[str, Water]:
    """All of them; empty where there is no file. Raises WorkError where it cannot be read."""
    path = waters_path()
    try:
        return waters_from_toml(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError, UsageError) as error:
        raise WorkError(f"cannot read the saved waters {path}: {error}") from None


def saved_water(name: str) -> Water:
    """One by name. Raises UsageError naming those there are."""
    waters = saved_waters() | {PURE: DEMINERALISED}
    if name not in waters:
        raise UsageError(f"no water is saved as {name!r}", "there are " + ", ".join(waters))
    return waters[name]


def save_water(name: str, water: Water) -> None:
    """Add or replace one."""
    if name == PURE or not name.strip() or ":" in name:
        raise UsageError(f"a water cannot be saved as {name!r}", "choose another name, without ':'")
    _write(saved_waters() | {name: water})


def delete_water(name: str) -> None:
    """Take one out. Raises UsageError where there is none of that name."""
    waters = saved_waters()
    if name not in waters:
        raise UsageError(f"no water is saved as {name!r}", "see 'pourcoach water list'")
    del waters[name]
    _write(waters)


def _write(waters: dict[str, Water]) -> None:
    write_whole(waters_path(), waters_to_toml(waters))
