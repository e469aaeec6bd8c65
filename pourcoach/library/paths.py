"""Paths as the tables have them."""

import os
from pathlib import Path


def path_key(path: Path) -> str | bytes:
    """A tape's whole path as the tables have it: bytes where it is no text."""
    whole = str(path.resolve())
    try:
        whole.encode()
    except UnicodeEncodeError:
        return os.fsencode(whole)
    return whole


def path_of(key: str | bytes) -> Path:
    """The path that stands in a table."""
    return Path(os.fsdecode(key))
