"""A page of help: prose and tables, at any width."""

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import TypeAlias

GAP = 2
# Beside a narrower column a sentence falls into single words.
LEAST_RIGHT = 18


@dataclass(frozen=True, slots=True)
class Table:
    """Pairs of a short name and what it means."""

    rows: tuple[tuple[str, str], ...]


Page: TypeAlias = Sequence[str | Table]
"""Lines of text and tables, one below the other. A line that is too wide goes on with its own
indent."""


def page_text(page: Page, width: int) -> str:
    """The page in ``width`` columns. Nothing is cut off."""
    lines: list[str] = []
    for part in page:
        if isinstance(part, Table):
            lines += _table_lines(part, width)
        else:
            for line in part.split("\n"):
                lines += _wrapped(line, width)
    return "\n".join(lines)


def _wrapped(line: str, width: int) -> list[str]:
    if len(line) <= width:
        return [line]
    indent = line[: len(line) - len(line.lstrip())]
    return wrap(line.strip(), max(1, width), initial_indent=indent, subsequent_indent=indent)


def _table_lines(table: Table, width: int) -> list[str]:
    """The meaning beside the name; below it where it would be squeezed."""
    left = max(len(name) for name, _ in table.rows)
    beside = width - left - GAP >= LEAST_RIGHT
    indent = " " * (left + GAP if beside else GAP)
    lines: list[str] = []
    for name, meaning in table.rows:
        if not beside:
            lines += [*_wrapped(name, width), *_wrapped(f"{indent}{meaning}", width)]
            continue
        first, *others = wrap(meaning, width - len(indent))
        lines += [f"{name:<{left + GAP}}{first}", *(f"{indent}{other}" for other in others)]
    return lines
