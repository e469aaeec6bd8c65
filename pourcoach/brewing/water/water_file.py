"""Saved waters as TOML text and back. Whoever has the file reads and writes it."""

from collections.abc import Mapping

import tomli_w

from pourcoach.brewing.water.water import Water
from pourcoach.domain.documents import DocumentError, from_toml
from pourcoach.domain.errors import UsageError


def waters_to_toml(waters: Mapping[str, Water]) -> str:
    """A table for each water under its name, in order of name."""
    return tomli_w.dumps({name: waters[name].as_dict() for name in sorted(waters)})


def waters_from_toml(text: str) -> dict[str, Water]:
    """Read it back. Raises UsageError for text that is no TOML or holds no waters."""
    try:
        data = from_toml(text)
    except DocumentError as error:
        raise UsageError(f"the saved waters are not TOML: {error}", "mend the file") from None
    waters = {}
    for name, entry in data.items():
        if not isinstance(entry, dict):
            raise UsageError(f"the saved water {name!r} is no table", f"write it as [{name}]")
        waters[name] = Water.from_dict(entry)
    return waters
