"""Completes a path as it is typed."""

import asyncio
from collections.abc import Sequence
from pathlib import Path

from textual.suggester import Suggester


class PathSuggester(Suggester):
    """Suggests the first file or folder, by name, that begins as what was typed."""

    def __init__(self, suffixes: Sequence[str], prefixes: Sequence[str] = ()) -> None:
        """Files must end in one of ``suffixes``; ``prefixes`` may stand before the path."""
        super().__init__(use_cache=False, case_sensitive=True)
        self._suffixes = tuple(suffixes)
        self._prefixes = tuple(prefixes)

    async def get_suggestion(self, value: str) -> str | None:
        """All of it, with what was typed at its beginning; None where nothing fits."""
        prefix = next((each for each in self._prefixes if value.startswith(each)), "")
        if self._prefixes and not prefix:
            return next((each for each in self._prefixes if value and each.startswith(value)), None)
        typed = value.removeprefix(prefix)
        completed = await asyncio.to_thread(self._complete, typed) if typed else None
        return None if completed is None else f"{prefix}{completed}"

    def _complete(self, typed: str) -> str | None:
        folder, slash, begun = typed.rpartition("/")
        try:
            entries = sorted(Path(f"{folder}{slash}" or ".").expanduser().iterdir())
        except (OSError, RuntimeError):  # No such folder; no home.
            return None
        for entry in entries:
            if not entry.name.startswith(begun) or (entry.name.startswith(".") and not begun):
                continue
            if entry.is_dir():
                return f"{folder}{slash}{entry.name}/"
            if entry.name.endswith(self._suffixes):
                return f"{folder}{slash}{entry.name}"
        return None
