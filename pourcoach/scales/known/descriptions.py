"""Where scale descriptions are kept: the user's in the configuration folder, a few shipped ones."""

from importlib import resources
from pathlib import Path

from pourcoach.domain.errors import UsageError
from pourcoach.places import config_folder
from pourcoach.text_file import content_of, read_text
from pourcoach.wire.described.reader import read_description
from pourcoach.wire.description import ScaleDescription

SUFFIX = ".toml"


def descriptions_folder() -> Path:
    """The folder of the user's own descriptions. Not created here."""
    return config_folder() / "scales"


def find_description(name: str) -> ScaleDescription:
    """By file name, or by name among the user's and then the shipped ones.

    Raises UsageError where none has that name; WorkError where it cannot be read or is broken.
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
    with content_of(path):
        return read_description(read_text(path, "the scale description"))


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
