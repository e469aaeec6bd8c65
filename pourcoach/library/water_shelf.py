"""The user's saved waters, ``waters.toml`` in the configuration folder."""

from pathlib import Path

from pourcoach.brewing.water.water import DEMINERALISED, Water
from pourcoach.brewing.water.water_file import waters_from_toml, waters_to_toml
from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.places import config_folder
from pourcoach.text_file import write_atomically

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
    except (OSError, UnicodeDecodeError) as error:
        raise WorkError(f"cannot read the saved waters {path}: {reason(error)}") from None
    except UsageError as error:
        raise WorkError(f"cannot read the saved waters {path}: {error}") from None


def saved_water(name: str) -> Water:
    """One by name. Raises UsageError naming those there are."""
    waters = saved_waters() | {PURE: DEMINERALISED}
    if name not in waters:
        raise UsageError(f"no water is saved as {name!r}", "there are " + ", ".join(waters))
    return waters[name]


def save_water(name: str, water: Water, *, over: bool = False) -> None:
    """Add one, or what is newly known to the one of that name; with ``over`` in its place.

    Raises UsageError for what is no name, WorkError where the one of that name is another water.
    """
    if name == PURE or not name.strip() or ":" in name:
        raise UsageError(f"a water cannot be saved as {name!r}", "choose another name, without ':'")
    waters = saved_waters()
    if name in waters and not over:
        different = waters[name].different_from(water)
        if different:
            raise WorkError(
                f"{name!r} is saved with another {' and '.join(different)}",
                "choose another name, or write over it with --force",
            )
        water = waters[name].with_added(water)
    _write(waters | {name: water})


def delete_water(name: str) -> None:
    """Take one out. Raises UsageError where there is none of that name."""
    waters = saved_waters()
    if name not in waters:
        raise UsageError(f"no water is saved as {name!r}", "see 'pourcoach water list'")
    del waters[name]
    _write(waters)


def _write(waters: dict[str, Water]) -> None:
    write_atomically(waters_path(), waters_to_toml(waters))
