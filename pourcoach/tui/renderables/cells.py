"""A grid of styled characters, and what changed from one grid to the next."""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from rich.cells import get_character_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

_NO_STYLE = Style.null()
_HIDDEN = ""
"""Stands in the cell that the right half of a wide character covers."""


class Span(NamedTuple):
    """Columns ``start`` up to but not including ``end`` of a row."""

    row: int
    start: int
    end: int


@lru_cache(maxsize=1024)
def _is_narrow(text: str) -> bool:
    """Whether every character takes one column."""
    return all(get_character_cell_size(character) == 1 for character in text)


class Cells:
    """``height`` rows of ``width`` columns. Every cell has a Style: Textual's filter for
    NO_COLOR cannot take a Segment without one.
    """

    def __init__(self, width: int, height: int, style: Style) -> None:
        self.width = max(0, width)
        self.height = max(0, height)
        self._characters = [[" "] * self.width for _ in range(self.height)]
        self._styles = [[style] * self.width for _ in range(self.height)]
        self._has_wide = False
        """Whether a character of two columns was ever written."""

    def copy(self) -> "Cells":
        """The same cells, to be written over."""
        return self._with(
            [row[:] for row in self._characters],
            [row[:] for row in self._styles],
            has_wide=self._has_wide,
        )

    def above(self, other: "Cells") -> "Cells":
        """This grid with ``other``, as wide, below it. What is written to either of the two, or to
        the result, is written to both.
        """
        return self._with(
            self._characters + other._characters,
            self._styles + other._styles,
            has_wide=self._has_wide or other._has_wide,
        )

    def _with(
        self, characters: list[list[str]], styles: list[list[Style]], *, has_wide: bool
    ) -> "Cells":
        cells = Cells(self.width, 0, _NO_STYLE)
        cells.height = len(characters)
        cells._characters, cells._styles = characters, styles
        cells._has_wide = has_wide
        return cells

    def put(self, column: int, row: int, text: str, style: Style) -> int:
        """Write ``text``; what lies outside is cut off. Gives the column after it.

        A character two columns wide takes two cells, or is left out where only one is free.
        """
        end = column + len(text)
        inside = 0 <= row < self.height and column >= 0 and end <= self.width
        if inside and not self._has_wide and _is_narrow(text):
            self._characters[row][column:end] = text
            self._styles[row][column:end] = [style] * len(text)
            return end
        for character in text:
            wide = get_character_cell_size(character)
            if wide == 0:
                continue
            if 0 <= row < self.height and column >= 0 and column + wide <= self.width:
                self._set(column, row, character, style)
                if wide == 2:
                    self._has_wide = True
                    self._set(column + 1, row, _HIDDEN, style)
            column += wide
        return column

    def _set(self, column: int, row: int, character: str, style: Style) -> None:
        """One cell. Half of a wide character that is written over leaves a blank."""
        characters = self._characters[row]
        if characters[column] == _HIDDEN and character != _HIDDEN:
            characters[column - 1] = " "
        if column + 1 < self.width and characters[column + 1] == _HIDDEN:
            characters[column + 1] = " "
        characters[column] = character
        self._styles[row][column] = style

    def put_rows(self, column: int, row: int, rows: tuple[str, ...], style: Style) -> None:
        """Write several rows, one under the other."""
        for down, text in enumerate(rows):
            self.put(column, row + down, text, style)

    def paste(self, column: int, row: int, other: "Cells") -> None:
        """Put another grid over this one, its upper left cell here; what lies outside is cut."""
        self._has_wide = self._has_wide or other._has_wide
        for down in range(max(0, -row), min(other.height, self.height - row)):
            left = max(0, -column)
            right = min(other.width, self.width - column)
            if left < right:
                at = slice(column + left, column + right)
                self._characters[row + down][at] = other._characters[down][left:right]
                self._styles[row + down][at] = other._styles[down][left:right]

    def fill(self, row: int, style: Style) -> None:
        """Blank a whole row."""
        self.put(0, row, " " * self.width, style)

    def text(self) -> str:
        """As plain text, rows cut at their last ink."""
        return "\n".join("".join(row).rstrip() for row in self._characters)

    def strip(self, row: int) -> Strip:
        """A row for Textual, runs of equal style joined."""
        return Strip(_runs(self._characters[row], self._styles[row]), self.width)

    def changes(self, older: "Cells") -> list[Span]:
        """The least span of every row that differs from ``older``, a grid of the same size."""
        spans = []
        for row in range(self.height):
            characters, styles = self._characters[row], self._styles[row]
            old_characters, old_styles = older._characters[row], older._styles[row]
            if characters == old_characters and styles == old_styles:
                continue
            # A style is made once and kept, so that it equals none but itself.
            start, end = 0, self.width
            while start < end and (
                characters[start] == old_characters[start] and styles[start] is old_styles[start]
            ):
                start += 1
            while start < end and (
                characters[end - 1] == old_characters[end - 1]
                and styles[end - 1] is old_styles[end - 1]
            ):
                end -= 1
            if start < end:
                spans.append(Span(row, start, end))
        return spans


def _runs(characters: list[str], styles: list[Style]) -> Iterator[Segment]:
    start = 0
    for column in range(1, len(characters) + 1):
        if column == len(characters) or styles[column] is not styles[start]:
            yield Segment("".join(characters[start:column]), styles[start])
            start = column
