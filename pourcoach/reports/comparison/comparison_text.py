"""A comparison as words and as lines of text."""

from collections.abc import Iterator
from textwrap import wrap

from pourcoach.reports.columns import in_columns
from pourcoach.reports.comparison.comparison import BrewPart, Comparison, Row
from pourcoach.reports.comparison.measured import compared_text, difference_text

WIDTH = 96
EXPLAINED = (
    "Differences are from A, with ± of two standard errors of measurement; one that is no larger"
    " is called none. How far the same hand strays from brew to brew is another matter, and mostly"
    " more."
)


def headline(comparison: Comparison) -> str:
    """What differs, in a sentence."""
    seen = comparison.seen
    if not seen:
        return "No difference is larger than the error of measurement."
    count = sum(len(part.rows) for part in comparison.parts)
    said = f"{len(seen)} of {count} figures differ by more than their error"
    largest = comparison.largest
    if largest is None:
        return f"{said}."
    part, row, place = largest
    found = difference_text(row.differences[place - 1], row.unit)
    where = f"{part.title}, {row.title.lower()}"
    return f"{said}. Most of all: {where}, {comparison.letters[place]} {found} against A."


def brew_title(comparison: Comparison, place: int) -> str:
    """``A  morning, Ada, 2026-01-15 09:30``."""
    brew = comparison.brews[place]
    about = ", ".join(part for part in (brew.name, brew.by, brew.when) if part and part != "–")
    return f"{comparison.letters[place]}  {about}"


def comparison_lines(comparison: Comparison, width: int = WIDTH) -> list[str]:
    """The whole comparison; tables may be wider than ``width``."""
    lines = [brew_title(comparison, place) for place in range(len(comparison.brews))]
    lines += ["", *wrap(headline(comparison), width), *wrap(EXPLAINED, width)]
    lines += [line for note in comparison.notes for line in wrap(note, width)]
    for part in comparison.parts:
        lines += ["", part.title, *in_columns(list(part_cells(comparison, part)))]
    return lines


def part_cells(comparison: Comparison, part: BrewPart) -> Iterator[tuple[str, ...]]:
    """A heading and a row a quantity: each brew's figure, and its difference from A after it."""
    first, *others = list(comparison.letters)
    heads = ["", first]
    for letter in others:
        heads += [letter, f"{letter} - {first}"]
    yield tuple(heads)
    for row in part.rows:
        yield row_cells(row)


def row_cells(row: Row) -> tuple[str, ...]:
    """The same for one quantity."""
    first, *others = row.figures
    cells = [row.title, compared_text(first, row.unit)]
    for figure, found in zip(others, row.differences, strict=True):
        cells += [compared_text(figure, row.unit), difference_text(found, row.unit)]
    return tuple(cells)
