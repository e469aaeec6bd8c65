"""The page of a comparison."""

from pourcoach.reports.charts.drawing import Drawing
from pourcoach.reports.charts.overlay_chart import DASHES, overlay_chart, stage_charts
from pourcoach.reports.charts.paint import SERIES
from pourcoach.reports.comparison.comparison import Comparison, Row
from pourcoach.reports.comparison.comparison_text import EXPLAINED, headline
from pourcoach.reports.comparison.measured import compared_text, difference_text
from pourcoach.reports.pages.environment import page


def comparison_page(comparison: Comparison) -> str:
    """The page as HTML."""
    return page(
        "comparison.html.j2",
        comparison=comparison,
        headline=headline(comparison),
        explained=EXPLAINED,
        brews=[
            {"letter": letter, "report": brew, "sample": _sample(number)}
            for number, (letter, brew) in enumerate(
                zip(comparison.letters, comparison.brews, strict=True)
            )
        ],
        overlay=overlay_chart(comparison, headline(comparison)),
        stages=stage_charts(comparison),
        parts=[
            {"title": part.title, "rows": [_cells(row) for row in part.rows]}
            for part in comparison.parts
        ],
    )


def _cells(row: Row) -> dict[str, object]:
    first, *others = row.figures
    return {
        "title": row.title,
        "first": compared_text(first, row.unit),
        "others": [
            {
                "figure": compared_text(figure, row.unit),
                "difference": difference_text(found, row.unit),
                "seen": found is not None and found.is_seen,
            }
            for figure, found in zip(others, row.differences, strict=True)
        ],
    }


def _sample(number: int) -> Drawing:
    """How the curve of a brew is drawn."""
    drawing = Drawing(44, 14, f"line {number + 1}", "how this brew is drawn")
    drawing.stroke([(2, 7), (42, 7)], SERIES[number], 2.4, DASHES[number])
    return drawing
