"""What stands in a report's file, by the suffix of its name."""

from collections.abc import Callable, Sequence
from typing import TypeAlias

from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import json_text
from pourcoach.reports.brew_report import BrewReport
from pourcoach.reports.charts.brew_chart import brew_chart
from pourcoach.reports.charts.drawing import Drawing
from pourcoach.reports.charts.overlay_chart import overlay_chart
from pourcoach.reports.comparison.comparison import compare
from pourcoach.reports.comparison.comparison_text import headline
from pourcoach.reports.csv_table import csv_table
from pourcoach.reports.figures import figures

Writer: TypeAlias = Callable[[Sequence[BrewReport]], bytes]
"""Raises UsageError where so many brews do not go on it."""


def report_writer(suffix: str) -> Writer:
    """Raises UsageError for a suffix that stands for no report."""
    try:
        return _WRITERS[suffix.lower()]
    except KeyError:
        known = ", ".join(_WRITERS)
        raise UsageError(
            f"a report cannot be written as {suffix or 'a file without a suffix'}",
            f"let the name of the file end in {known}",
        ) from None


def _html(brews: Sequence[BrewReport]) -> bytes:
    # The templates' engine.
    from pourcoach.reports.pages.brew_page import brew_page
    from pourcoach.reports.pages.comparison_page import comparison_page

    if len(brews) == 1:
        return brew_page(brews[0]).encode()
    return comparison_page(compare(brews)).encode()


def _csv(brews: Sequence[BrewReport]) -> bytes:
    return csv_table(figures(brew.recording, brew.tape, brew.marks) for brew in brews).encode(
        "utf-8", "replace"
    )


def _json(brews: Sequence[BrewReport]) -> bytes:
    lines = (json_text(figures(brew.recording, brew.tape, brew.marks)) for brew in brews)
    return "".join(f"{line}\n" for line in lines).encode()


def _svg(brews: Sequence[BrewReport]) -> bytes:
    from pourcoach.reports.charts.svg import svg_file

    return svg_file(_chart(brews)).encode()


def _png(brews: Sequence[BrewReport]) -> bytes:
    from pourcoach.reports.charts.png import png_file  # Pillow

    return png_file(_chart(brews))


def _chart(brews: Sequence[BrewReport]) -> Drawing:
    if len(brews) == 1:
        return brew_chart(brews[0])
    comparison = compare(brews)
    return overlay_chart(comparison, headline(comparison))


_WRITERS: dict[str, Writer] = {
    ".html": _html,
    ".csv": _csv,
    ".json": _json,
    ".svg": _svg,
    ".png": _png,
}
