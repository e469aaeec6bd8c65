"""Contrast, worked out from the colours themselves (WCAG 2.2: 1.4.3 and 1.4.11)."""

from itertools import pairwise

import pytest

from pourcoach.reports.charts.paint import DARK, LIGHT, SERIES, Paint

TEXT, GRAPHIC = 4.5, 3.0
READ_ON = [
    (Paint.INK, Paint.GROUND),
    (Paint.INK, Paint.BAND),
    (Paint.INK, Paint.FAULT_GROUND),
    (Paint.DIM, Paint.GROUND),
    (Paint.PLAN, Paint.GROUND),
    (Paint.FAULT, Paint.GROUND),
    (Paint.ON_FAULT, Paint.FAULT),
    (Paint.GROUND, Paint.DIM),
    *((series, Paint.GROUND) for series in SERIES),
]
SEEN_ON = [
    (curve, ground)
    for curve in (Paint.POURED, Paint.FLOW, Paint.PLAN)
    for ground in (Paint.GROUND, Paint.BAND, Paint.FAULT_GROUND, Paint.GRID)
]


def luminance(colour: str) -> float:
    """Relative luminance of ``#rrggbb`` (WCAG 2.2, G18)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize(
    ("colour", "ratio"), [("#767676", 4.542), ("#949494", 3.034), ("#ff0000", 3.998)]
)
def test_contrast_is_worked_out_as_published(colour: str, ratio: float) -> None:
    """Known pairs on white, worked out by WCAG's formula."""
    assert contrast(colour, "#ffffff") == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("ink", "ground"), READ_ON)
def test_texts_can_be_read(theme: dict[Paint, str], ink: Paint, ground: Paint) -> None:
    assert contrast(theme[ink], theme[ground]) >= TEXT


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("curve", "ground"), SEEN_ON)
def test_curves_can_be_seen(theme: dict[Paint, str], curve: Paint, ground: Paint) -> None:
    assert contrast(theme[curve], theme[ground]) >= GRAPHIC


def test_each_theme_has_every_colour_once() -> None:
    assert set(LIGHT) == set(DARK) == set(Paint)
    for theme in (LIGHT, DARK):
        colours = sorted(theme[series] for series in SERIES)
        assert all(one != other for one, other in pairwise(colours))
