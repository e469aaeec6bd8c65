"""The colours of the page, worked out from its stylesheet."""

import re
from importlib.resources import files
from itertools import pairwise

import pytest

CSS = (files("pourcoach.page") / "static" / "page.css").read_text(encoding="utf-8")


def colours(scheme: str) -> dict[str, str]:
    first, second = re.findall(r":root \{(.*?)\}", CSS, re.DOTALL)
    found = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", first))
    if scheme == "light":
        found |= dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", second))
    return found


def luminance(colour: str) -> float:
    """Relative luminance by WCAG 2.2."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio by WCAG 2.2."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("scheme", ["dark", "light"])
@pytest.mark.parametrize(
    ("ink", "ground", "least"),
    [
        ("wait-ink", "wait-ground", 4.5),
        ("target-ink", "target-ground", 4.5),
        ("act-ink", "act-ground", 4.5),
        ("ink", "ground", 4.5),
        ("dim", "ground", 4.5),
        # Not text (WCAG 1.4.11): the bar's fill and the curves.
        ("poured", "band", 3.0),
        ("poured", "ground", 3.0),
        ("plan", "ground", 3.0),
        ("plan", "band", 3.0),
        ("dim", "wait-ground", 3.0),
    ],
)
def test_contrast_is_wcag_aa(scheme: str, ink: str, ground: str, least: float) -> None:
    found = colours(scheme)
    assert contrast(found[ink], found[ground]) >= least


@pytest.mark.parametrize("scheme", ["dark", "light"])
def test_the_three_tones_are_steps_of_brightness(scheme: str) -> None:
    found = colours(scheme)
    tones = [found[f"{tone}-ground"] for tone in ("wait", "target", "act")]
    assert all(contrast(a, b) >= 2.9 for a, b in pairwise(tones))


def test_movement_is_only_where_it_is_wanted() -> None:
    moving = CSS.split("prefers-reduced-motion: no-preference", 1)
    assert "transition" not in moving[0]
    assert "animation" not in CSS
