"""What stands in a report's file, by the suffix of its name."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, TypeVar

from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import json_text
from pourcoach.practice.progress.progress import DrillProgress
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.charts.brew_chart import brew_chart
from pourcoach.reports.charts.drawing import Drawing
from pourcoach.reports.charts.overlay_chart import overlay_chart
from pourcoach.reports.charts.svg import svg_file
from pourcoach.reports.charts.trend_chart import trend_chart
from pourcoach.reports.comparison.comparison import compare
from pourcoach.reports.comparison.comparison_text import headline
from pourcoach.reports.csv_table import csv_table
from pourcoach.reports.figures import figures
from pourcoach.reports.group.group_brew import GroupBrew
from pourcoach.reports.group.progress import person_progress

_Writer = TypeVar("_Writer")

BREW_SUFFIXES = (".html", ".csv", ".json", ".svg", ".png")
"""What ``brews_writer`` writes."""

# The templates' engine and Pillow are imported only where they are needed.


def brews_writer(suffix: str) -> Callable[[Sequence[BrewReport]], bytes]:
    """The writer of a report on one brew, or on two to six side by side; tables and figures take
    any number.

    Raises UsageError for a suffix that stands for no report, as does the writer for so many brews.
    """
    return _of(
        suffix,
        {
            ".html": _brews_page,
            ".csv": lambda brews: _csv(map(_figures, brews)),
            ".json": lambda brews: _json(map(_figures, brews)),
            ".svg": lambda brews: svg_file(_brews_chart(brews)).encode(),
            ".png": lambda brews: _png(_brews_chart(brews)),
        },
    )


def person_writer(
    suffix: str, practice: Sequence[DrillProgress] = ()
) -> Callable[[Sequence[GroupBrew]], bytes]:
    """Of the progress of somebody, on a page with ``practice``. Raises UsageError as above."""

    def person(brews: Sequence[GroupBrew]) -> bytes:
        from pourcoach.reports.pages.group_pages import person_page

        return person_page(brews, practice).encode()

    return _of(
        suffix,
        {
            ".html": person,
            ".csv": lambda brews: _csv(brew.figures for brew in brews),
            ".json": lambda brews: _json(brew.figures for brew in brews),
            ".svg": lambda brews: svg_file(_trend(brews)).encode(),
            ".png": lambda brews: _png(_trend(brews)),
        },
    )


def class_writer(suffix: str) -> Callable[[Sequence[GroupBrew]], bytes]:
    """Of a group, which has no single chart. Raises UsageError as above."""

    def group(brews: Sequence[GroupBrew]) -> bytes:
        from pourcoach.reports.pages.group_pages import class_page

        return class_page(brews).encode()

    return _of(
        suffix,
        {
            ".html": group,
            ".csv": lambda brews: _csv(brew.figures for brew in brews),
            ".json": lambda brews: _json(brew.figures for brew in brews),
        },
    )


def _of(suffix: str, writers: Mapping[str, _Writer]) -> _Writer:
    try:
        return writers[suffix.lower()]
    except KeyError:
        raise UsageError(
            f"this report cannot be written as {suffix or 'a file without a suffix'}",
            f"let the name of the file end in {', '.join(writers)}",
        ) from None


def _figures(brew: BrewReport) -> Mapping[str, Any]:
    return figures(brew.recording, brew.tape, brew.marks)


def _brews_page(brews: Sequence[BrewReport]) -> bytes:
    from pourcoach.reports.pages.brew_page import brew_page
    from pourcoach.reports.pages.comparison_page import comparison_page

    page = brew_page(brews[0]) if len(brews) == 1 else comparison_page(compare(brews))
    return page.encode()


def _csv(brews: Iterable[Mapping[str, Any]]) -> bytes:
    # A file name that is no text has letters that have no bytes.
    return csv_table(brews).encode("utf-8", "replace")


def _json(brews: Iterable[Mapping[str, Any]]) -> bytes:
    return "".join(f"{json_text(brew)}\n" for brew in brews).encode()


def _png(drawing: Drawing) -> bytes:
    from pourcoach.reports.charts.png import png_file

    return png_file(drawing)


def _brews_chart(brews: Sequence[BrewReport]) -> Drawing:
    if len(brews) == 1:
        return brew_chart(brews[0])
    comparison = compare(brews)
    return overlay_chart(comparison, headline(comparison))


def _trend(brews: Sequence[GroupBrew]) -> Drawing:
    progress = person_progress(brews)
    drawing = trend_chart(progress)
    if drawing is None:
        raise UsageError(
            f"the brews of {progress.name} give no curve over time",
            "have marked brews of two days or more",
        )
    return drawing
