"""The colours of reports: one name a role, one value each for light and for dark.

Contrast is held by a test: text 4.5:1 and graphics 3:1 on the ground they stand on (WCAG 2.2, 1.4.3
and 1.4.11).
"""

from enum import Enum


class Paint(Enum):
    """What a shape is, not what it looks like. The value is its name in a style sheet."""

    GROUND = "ground"
    INK = "ink"
    DIM = "dim"
    """Numbers and small words."""
    GRID = "grid"
    """Lines to read against; decoration, so that no contrast is asked of it."""
    BAND = "band"
    """Within tolerance: a background."""
    PLAN = "plan"
    POURED = "poured"
    FLOW = "flow"
    FAULT = "fault"
    FAULT_GROUND = "fault-ground"
    """Behind the curve where a fault was noted."""
    ON_FAULT = "on-fault"
    """A number on a fault's mark."""
    SERIES_A = "series-a"
    SERIES_B = "series-b"
    SERIES_C = "series-c"
    SERIES_D = "series-d"
    SERIES_E = "series-e"
    SERIES_F = "series-f"


SERIES = (
    Paint.SERIES_A,
    Paint.SERIES_B,
    Paint.SERIES_C,
    Paint.SERIES_D,
    Paint.SERIES_E,
    Paint.SERIES_F,
)
"""For brews side by side. They differ in their dashes and their letter too, never by hue alone."""

LIGHT = {
    Paint.GROUND: "#ffffff",
    Paint.INK: "#1b1f24",
    Paint.DIM: "#59616b",
    Paint.GRID: "#e4e7eb",
    Paint.BAND: "#dfebf6",
    Paint.PLAN: "#1f6fab",
    Paint.POURED: "#14100a",
    Paint.FLOW: "#14100a",
    Paint.FAULT: "#b3440a",
    Paint.FAULT_GROUND: "#fbe9dc",
    Paint.ON_FAULT: "#ffffff",
    Paint.SERIES_A: "#14100a",
    Paint.SERIES_B: "#0072b2",
    Paint.SERIES_C: "#b3440a",
    Paint.SERIES_D: "#007a5a",
    Paint.SERIES_E: "#a2437a",
    Paint.SERIES_F: "#7a6400",
}
DARK = {
    Paint.GROUND: "#12161b",
    Paint.INK: "#e8eaed",
    Paint.DIM: "#a3acb6",
    Paint.GRID: "#2a3038",
    Paint.BAND: "#22364a",
    Paint.PLAN: "#7ab8ea",
    Paint.POURED: "#ffffff",
    Paint.FLOW: "#ffffff",
    Paint.FAULT: "#ffb454",
    Paint.FAULT_GROUND: "#3a2c1a",
    Paint.ON_FAULT: "#14100a",
    Paint.SERIES_A: "#ffffff",
    Paint.SERIES_B: "#7ab8ea",
    Paint.SERIES_C: "#ffb454",
    Paint.SERIES_D: "#4fd1a5",
    Paint.SERIES_E: "#e79ac4",
    Paint.SERIES_F: "#e6d66a",
}
"""The hues are near those of Okabe & Ito (2008), made darker on white until each passes."""


def colour_properties(colours: dict[Paint, str]) -> str:
    """As custom properties of a style sheet."""
    return " ".join(f"--{paint.value}: {value};" for paint, value in colours.items())


def chart_rules() -> str:
    """What the classes that charts are written with look like."""
    return "\n".join(
        f".s-{paint.value} {{ stroke: var(--{paint.value}); }} "
        f".f-{paint.value} {{ fill: var(--{paint.value}); }}"
        for paint in Paint
    )
