"""A table of a TOML text from anywhere: hands out checked values, names what is wrong."""

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import is_number

_Value = TypeVar("_Value")


class TomlTable:
    """One table of the file: hands out checked values and notes which keys were asked for."""

    def __init__(self, what: str, data: Mapping[str, Any], path: str, text: str) -> None:
        """``what`` the whole is, for errors; ``path`` of this table in it; ``text`` it was read
        from, to name lines."""
        self._what = what
        self._data = data
        self._path = path
        self._text = text
        self._asked: set[str] = set()

    def __contains__(self, key: str) -> bool:
        return key in self._data

    def wrong(self, key: str, what: str, remedy: str = "") -> UsageError:
        """The error for a key, with its line where it can be found."""
        full = f"{self._path}.{key}" if self._path else key
        if not full.isprintable():
            full = repr(full)
        line = _line_of(self._text, self._path, key)
        place = f"line {line}: {full}" if line is not None else full
        return UsageError(f"{self._what}, {place} {what}", remedy)

    def text(self, key: str, usual: str | None = None) -> str:
        value = self._get(key, usual)
        if not isinstance(value, str):
            raise self.wrong(key, f"is {value!r:.40}", "make it a text in quotes")
        return value

    def one_of(self, key: str, choices: Mapping[str, _Value], usual: str | None = None) -> _Value:
        value = self._get(key, usual)
        if not isinstance(value, str) or value not in choices:
            raise self.wrong(key, f"is {value!r:.40}", "use one of " + ", ".join(choices))
        return choices[value]

    def whole(self, key: str, least: int, most: int, usual: int | None = None) -> int:
        value = self._get(key, usual)
        if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
            raise self.wrong(
                key, f"is {value!r:.40}", f"make it a whole number from {least} to {most}"
            )
        return value

    def number(self, key: str, usual: float) -> float:
        value = self._get(key, usual)
        # Beyond these no factor makes a weight of anything a scale can send.
        if not is_number(value) or not 1e-12 <= abs(value) <= 1e12:
            raise self.wrong(key, f"is {value!r:.40}", "make it a number other than 0")
        return float(value)

    def flag(self, key: str) -> bool:
        value = self._get(key, False)
        if not isinstance(value, bool):
            raise self.wrong(key, f"is {value!r:.40}", "make it true or false")
        return value

    def table(self, key: str) -> "TomlTable":
        value = self._get(key, None)
        if not isinstance(value, dict):
            raise self.wrong(key, f"is {value!r:.40}", "make it a table")
        return TomlTable(
            self._what, value, f"{self._path}.{key}" if self._path else key, self._text
        )

    def maybe(self, key: str, read: Callable[["TomlTable"], _Value]) -> _Value | None:
        """Read a table where there is one."""
        return read(self.table(key)) if key in self else None

    def keys(self) -> list[str]:
        self._asked.update(self._data)
        return list(self._data)

    def done(self) -> None:
        """Raises UsageError for a key that nobody asked for."""
        for key in self._data:
            if key not in self._asked:
                raise self.wrong(
                    key, "is not known here", "known are " + ", ".join(sorted(self._asked))
                )

    def _get(self, key: str, usual: Any) -> Any:
        self._asked.add(key)
        if key not in self._data and usual is None:
            raise self.wrong(key, "is missing", f"every {self._what} needs it")
        return self._data.get(key, usual)


def _line_of(text: str, path: str, key: str) -> int | None:
    """Where a key stands; None where it cannot be found, as when it is missing."""
    here = ""
    parent, _, last = path.rpartition(".")
    own_header = f"{path}.{key}" if path else key
    own = re.compile(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=")
    within_braces = re.compile(rf"\s*{re.escape(last)}\s*=\s*{{")
    for number, line in enumerate(text.splitlines(), 1):
        header = re.match(r"\s*\[\s*([\w.\- ]+?)\s*\]", line)
        if header:
            here = header[1]
            if here == own_header:
                return number
        elif own.match(line) if here == path else here == parent and within_braces.match(line):
            return number
    return None
