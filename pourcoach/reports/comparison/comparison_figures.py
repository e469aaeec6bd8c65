"""A comparison as one JSON object."""

from typing import Any

from pourcoach.reports.comparison.comparison import Comparison, Row
from pourcoach.reports.comparison.measured import ComparedFigure


def comparison_figures(comparison: Comparison) -> dict[str, Any]:
    """What ``analyse --compare --json`` prints. ``error`` of a figure is one standard error, of a
    difference what is said as ±; differences are from the first brew.
    """
    return {
        "brews": [
            {"letter": letter, "recording": brew.recording, "by": brew.by, "recorded_at": at}
            for letter, brew in zip(comparison.letters, comparison.brews, strict=True)
            for at in [brew.tape.header.recorded_at or None]
        ],
        "parts": [
            {"title": part.title, "rows": [_row(row) for row in part.rows]}
            for part in comparison.parts
        ],
        "notes": list(comparison.notes),
    }


def _row(row: Row) -> dict[str, Any]:
    return {
        "title": row.title,
        "unit": row.unit.value,
        "figures": [_figure(figure) for figure in row.figures],
        "differences": [
            None
            if found is None
            else {"value": found.value, "error": found.error, "is_seen": found.is_seen}
            for found in row.differences
        ],
    }


def _figure(figure: ComparedFigure | None) -> dict[str, float | None] | None:
    if figure is None:
        return None
    return {
        "value": round(figure.value, 3),
        "error": None if figure.error is None else round(figure.error, 4),
    }
