"""A table from anywhere, of TOML or JSON: hands out checked values, names what is wrong."""

import math
import re
from collections.abc import Callable, Mapping
from enum import Enum
from typing import Any, Self, TypeVar

from pourcoach.domain.documents import DocumentError, from_toml
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import is_number
from pourcoach.domain.printable import printable

_Value = TypeVar("_Value")
_Member = TypeVar("_Member", bound=Enum)
_SHOWN = 60
"""Characters of a wrong value that an error repeats."""


class CheckedTable:
    """One table of a file: hands out checked values and notes which keys were asked for.

    A key without a usual value must be there; JSON's null is as good as no key. Each error is one
    line with the file, the line where it can be found, and the key.
    """

    def __init__(self, what: str, data: object, path: str = "", text: str = "") -> None:
        """``what`` the whole is, for errors; ``path`` of this table in it; ``text`` it was read
        from, to name lines. Raises UsageError where ``data`` is no table."""
        self.name = f"{what}, {path}" if path else what
        """For errors: the whole, and the path of this table in it."""
        if not isinstance(data, Mapping):
            raise UsageError(f"{self.name} is {_shown(data)}", "make it a table")
        self._what = what
        self._data = data
        self._path = path
        self._text = text
        self._asked: set[str] = set()
        self._read: list[CheckedTable] = []
        """Tables that were handed out of it."""

    @classmethod
    def from_toml(cls, what: str, text: str) -> Self:
        """The whole of a TOML text. Raises UsageError naming the line where it is none."""
        try:
            return cls(what, from_toml(text), "", text)
        except DocumentError as error:
            raise UsageError(f"{what} is not TOML: {error}", "mend the file") from None

    def __contains__(self, key: str) -> bool:
        self._asked.add(key)
        return self._data.get(key) is not None

    def wrong(self, key: str, what: str, remedy: str = "") -> UsageError:
        """The error for a key, with its line where it can be found."""
        full = self._full(key)
        if not full.isprintable():
            full = repr(full)
        line = _line_of(self._text, self._path, key)
        place = f"line {line}: {full}" if line is not None else full
        return UsageError(f"{self._what}, {place} {what}", remedy)

    def text(self, key: str, usual: str | None = None) -> str:
        """The text under a key, as it is in the file."""
        value = self._get(key, usual)
        if not isinstance(value, str):
            raise self._is(key, value, "make it a text in quotes")
        return value

    def words(self, key: str, usual: str | None = None, *, longest: int) -> str:
        """The text under a key, fit to be shown: not empty, printable, no blanks around it."""
        return self._words(key, self._get(key, usual), longest)

    def words_list(
        self, key: str, usual: tuple[str, ...] | None = None, *, longest: int, most: int
    ) -> tuple[str, ...]:
        value = self._get(key, usual)
        if not isinstance(value, list | tuple) or len(value) > most:
            raise self._is(key, value, f"make it a list of up to {most} texts")
        return tuple(self._words(key, each, longest) for each in value)

    def one_of(self, key: str, choices: Mapping[str, _Value], usual: str | None = None) -> _Value:
        value = self._get(key, usual)
        if not isinstance(value, str) or value not in choices:
            raise self._is(key, value, "use one of " + ", ".join(choices))
        return choices[value]

    def member(self, key: str, kind: type[_Member], usual: _Member | None = None) -> _Member:
        """The member of an Enum whose value, a text, stands under a key."""
        return self.one_of(
            key, {each.value: each for each in kind}, None if usual is None else usual.value
        )

    def whole(self, key: str, least: int, most: int, usual: int | None = None) -> int:
        value = self._get(key, usual)
        if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
            raise self._is(key, value, f"make it a whole number from {least} to {most}")
        return value

    def number(
        self,
        key: str,
        usual: float | None = None,
        *,
        least: float,
        most: float = math.inf,
        remedy: str = "",
    ) -> float:
        """The number under a key. ``remedy`` is what to do about a wrong one, if not its bounds."""
        return self._number(key, self._get(key, usual), least, most, remedy)

    def numbers(
        self, key: str, usual: tuple[float, ...] | None = None, *, least: float, most: float
    ) -> tuple[float, ...]:
        """The numbers under a key: a list of at least one."""
        value = self._get(key, usual)
        if not isinstance(value, list | tuple) or not value:
            raise self._is(key, value, "make it a list of numbers")
        return tuple(self._number(key, each, least, most) for each in value)

    def flag(self, key: str, usual: bool | None = None) -> bool:
        value = self._get(key, usual)
        if not isinstance(value, bool):
            raise self._is(key, value, "make it true or false")
        return value

    def table(self, key: str, *, optional: bool = False) -> "CheckedTable":
        """The table under a key; with ``optional`` an empty one where there is none."""
        value = self._get(key, {} if optional else None)
        if not isinstance(value, Mapping):
            raise self._is(key, value, "make it a table")
        return self._inner(value, self._full(key))

    def tables(self, key: str, most: int, *, least: int = 1) -> list["CheckedTable"]:
        """The tables of the array ``[[key]]``, in order: ``least`` to ``most`` of them."""
        value = self._get(key, [] if least == 0 else None)
        if not isinstance(value, list) or not least <= len(value) <= most:
            raise self._is(key, value, f"write {least} to {most} of them, each as [[{key}]]")
        full = self._full(key)
        return [self._inner(each, f"{full}[{place}]") for place, each in enumerate(value, start=1)]

    def maybe(self, key: str, read: Callable[["CheckedTable"], _Value]) -> _Value | None:
        """What ``read`` makes of the table under a key; None where there is none."""
        return read(self.table(key)) if key in self else None

    def unknown(self) -> list[str]:
        """The keys that nobody asked for."""
        return [key for key in self._data if key not in self._asked]

    def all_keys(self) -> list[str]:
        """All keys of the table; they count as asked for."""
        self._asked.update(self._data)
        return list(self._data)

    def as_dict(self) -> dict[str, Any]:
        """The table as it was read, unchecked, for a reader with checks of its own."""
        self._asked.update(self._data)
        return dict(self._data)

    def raw(self, key: str) -> Any:
        """The value under a key, unchecked; None where there is none."""
        self._asked.add(key)
        return self._data.get(key)

    def done(self) -> None:
        """Raises UsageError for a key that nobody asked for, here or in a table handed out."""
        for key in self.unknown():
            known = ", ".join(sorted(self._asked))
            raise self.wrong(key, "is not known here", f"known are {known}")
        for table in self._read:
            table.done()

    def _full(self, key: str) -> str:
        return f"{self._path}.{key}" if self._path else key

    def _inner(self, value: object, path: str) -> "CheckedTable":
        table = CheckedTable(self._what, value, path, self._text)
        self._read.append(table)
        return table

    def _is(self, key: str, value: object, remedy: str) -> UsageError:
        return self.wrong(key, f"is {_shown(value)}", remedy)

    def _words(self, key: str, value: object, longest: int) -> str:
        if not isinstance(value, str) or not value.strip() or len(value) > longest:
            raise self._is(key, value, f"make it a text of up to {longest} letters, in quotes")
        return printable(value.strip(), longest)

    def _number(
        self, key: str, value: object, least: float, most: float, remedy: str = ""
    ) -> float:
        if not is_number(value) or not least <= value <= most:
            raise self._is(key, value, remedy or f"make it a number{_bounds(least, most)}")
        return float(value)

    def _get(self, key: str, usual: Any) -> Any:
        self._asked.add(key)
        value = self._data.get(key)
        if value is None and usual is None:
            raise self.wrong(key, "is missing", "it cannot be left out")
        return usual if value is None else value


def _shown(value: object) -> str:
    return f"{value!r:.{_SHOWN}}"


def _bounds(least: float, most: float) -> str:
    if most < math.inf:
        return f" from {least:g} to {most:g}"
    return f" of at least {least:g}" if least > -math.inf else ""


def _line_of(text: str, path: str, key: str) -> int | None:
    """Where a key stands; None where it cannot be found, as when it is missing."""
    here = ""
    parent, _, last = path.rpartition(".")
    own_header = f"{path}.{key}" if path else key
    own = re.compile(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=")
    within_braces = re.compile(rf"\s*{re.escape(last)}\s*=\s*{{")
    counts: dict[str, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        header = re.match(r"\s*\[\s*(\[?)\s*([\w.\- ]+?)\s*\]", line)
        if header:
            here = header[2]
            if here == own_header:
                return number
            if header[1]:
                counts[here] = counts.get(here, 0) + 1
                here = f"{here}[{counts[here]}]"
        elif own.match(line) if here == path else here == parent and within_braces.match(line):
            return number
    return None
