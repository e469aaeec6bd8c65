"""Where scale descriptions are kept: the user's in the configuration folder, a few shipped ones."""

from importlib import resources
from pathlib import Path

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.places import config_folder
from pourcoach.wire.description import ScaleDescription
from pourcoach.wire.description_reader import read_description

SUFFIX = ".toml"


def descriptions_folder() -> Path:
    """The user's own. Not created here."""
    return config_folder() / "scales"


def find_description(name: str) -> ScaleDescription:
    """By file name, or by name among the user's and then the shipped ones.

    Raises UsageError where there is none, or where it is broken; WorkError where it cannot be
    read.
    """
    path = Path(name)
    if path.suffix != SUFFIX and path.name == name:
        path = descriptions_folder() / f"{name}{SUFFIX}"
        if not path.exists():
            shipped = _shipped().get(name)
            if shipped is None:
                raise UsageError(
                    f"there is no scale description {name!r}",
                    "known are " + ", ".join(description_names()),
                )
            return read_description(shipped)
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise UsageError(f"there is no file {path}", "name a scale description") from None
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8 text"
        raise WorkError(f"the scale description {path} cannot be read: {reason}") from None
    try:
        return read_description(text)
    except UsageError as error:
        raise UsageError(f"{path}: {error.what}", error.remedy) from None


def description_names() -> list[str]:
    """What ``find_description`` knows by name."""
    own = {path.stem for path in descriptions_folder().glob(f"*{SUFFIX}")}
    return sorted(own | set(_shipped()))


def _shipped() -> dict[str, str]:
    folder = resources.files("pourcoach.scales") / "shipped"
    return {
        entry.name.removesuffix(SUFFIX): entry.read_text(encoding="utf-8")
        for entry in folder.iterdir()
        if entry.name.endswith(SUFFIX)
    }
