"""Where things are kept on this machine. ``POURCOACH_HOME`` moves all of it."""

import errno
import os
from pathlib import Path

import platformdirs

OWNER_ONLY_FOLDER = 0o700
OWNER_ONLY_FILE = 0o600
"""Tapes, the library and the settings hold names; the machine's other users need not see them."""


def _home() -> Path | None:
    home = os.environ.get("POURCOACH_HOME")
    return Path(home).expanduser() if home else None


def data_folder() -> Path:
    """Tapes and the library. Not created here."""
    return _home() or Path(platformdirs.user_data_dir("pourcoach", appauthor=False))


def tapes_folder() -> Path:
    """Where a brew's tape goes when no ``--tape`` is given."""
    return data_folder() / "tapes"


def config_folder() -> Path:
    """``config.toml``, the rubric, scale descriptions and calibrations. Not created here."""
    return _home() or Path(platformdirs.user_config_dir("pourcoach", appauthor=False))


def rubric_path() -> Path:
    """The user's own rubric, by which brews are marked where no other is named."""
    return config_folder() / "rubric.toml"


def private_folder(folder: Path) -> None:
    """Create ``folder`` and those above it that are missing, each for its owner alone.

    One that is there already is left as it is. Raises OSError.
    """
    if folder.is_dir():
        return
    if folder.parent != folder:
        private_folder(folder.parent)
    try:
        folder.mkdir(mode=OWNER_ONLY_FOLDER, exist_ok=True)
    except FileExistsError:
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder)) from None
