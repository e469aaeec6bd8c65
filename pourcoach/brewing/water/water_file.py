"""Saved waters as TOML text and back. Whoever has the file reads and writes it."""

from collections.abc import Mapping

import tomli_w

from pourcoach.brewing.water.water import Water
from pourcoach.domain.checked_table import CheckedTable


def waters_to_toml(waters: Mapping[str, Water]) -> str:
    """A table for each water under its name, in order of name."""
    return tomli_w.dumps({name: waters[name].as_dict() for name in sorted(waters)})


def waters_from_toml(text: str) -> dict[str, Water]:
    """Read it back. Raises UsageError for text that is no TOML or holds no waters."""
    table = CheckedTable.from_toml("the saved waters", text)
    return {name: Water.from_table(table.table(name)) for name in table.all_keys()}
