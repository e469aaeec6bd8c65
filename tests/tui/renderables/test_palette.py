"""Contrast of everything that is read, by the WCAG formula."""

import itertools

import pytest
from rich.color import Color, ColorSystem

from pourcoach.domain.advice import CueState
from pourcoach.domain.errors import UsageError
from pourcoach.tui.renderables.palette import (
    DARK,
    PALETTES,
    SIXTEEN,
    TONES,
    Palette,
    Tone,
    choose_palette,
)

TEXT_CONTRAST = 4.5  # W3C WCAG 2.x, success criterion 1.4.3, body text
GRAPHIC_CONTRAST = 3.0  # success criterion 1.4.11

# The text mode colours of the IBM VGA adapter, in the order of the ANSI numbers (from memory).
VGA = [
    *("#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa"),
    *("#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff"),
]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two ``#rrggbb`` colours, 1 to 21 (W3C WCAG 2.x, technique G18)."""
    bright, dim = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance of ``#rrggbb``, 0 to 1 (W3C WCAG 2.x, technique G18)."""
    red, green, blue = (_linear(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)


every_palette = pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        # Okabe & Ito's colours on white and on black; 767676 and 777777 lie on either side of 4.5.
        ("#000000", "#ffffff", 21.0),
        ("#e69f00", "#ffffff", 2.252),
        ("#0072b2", "#ffffff", 5.185),
        ("#f0e442", "#000000", 15.881),
        ("#767676", "#ffffff", 4.542),
        ("#777777", "#ffffff", 4.478),
        ("#ff0000", "#ffffff", 3.998),
    ],
)
def test_contrast_is_that_of_wcag_g18(one: str, other: str, ratio: float) -> None:
    """Values worked out from the formula of W3C WCAG technique G18."""
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)
    assert contrast(other, one) == contrast(one, other)


def read_pairs(palette: Palette) -> dict[str, tuple[str, str]]:
    return {
        "text": (palette.text.ink, palette.text.ground),
        "dim": (palette.dim, palette.text.ground),
        "wait": (palette.wait.ink, palette.wait.ground),
        "target": (palette.target.ink, palette.target.ground),
        "act": (palette.act.ink, palette.act.ground),
    }


@every_palette
def test_text_can_be_read(palette: Palette) -> None:
    low = {name: contrast(*pair) for name, pair in read_pairs(palette).items()}
    assert {name: ratio for name, ratio in low.items() if ratio < TEXT_CONTRAST} == {}


@every_palette
def test_text_can_be_read_in_256_colours(palette: Palette) -> None:
    low = {
        name: contrast(*(_in_256_colours(colour) for colour in pair))
        for name, pair in read_pairs(palette).items()
    }
    assert {name: ratio for name, ratio in low.items() if ratio < TEXT_CONTRAST} == {}


@every_palette
def test_curves_stand_out_on_ground_and_band(palette: Palette) -> None:
    grounds = (palette.text.ground, palette.band)
    for ink, ground in itertools.product((palette.curve, palette.poured), grounds):
        assert contrast(ink, ground) >= GRAPHIC_CONTRAST


@every_palette
def test_tones_differ_in_brightness_alone(palette: Palette) -> None:
    """Waiting, on target and act lie 3:1 apart, so that they differ in a grey picture too."""
    wait, target, act = (palette.tone(tone).ground for tone in Tone)
    assert contrast(wait, target) >= GRAPHIC_CONTRAST
    assert contrast(target, act) >= GRAPHIC_CONTRAST


def test_the_sixteen_survive_coming_down_to_sixteen() -> None:
    for ink, ground in [*read_pairs(SIXTEEN).values(), (SIXTEEN.poured, SIXTEEN.band)]:
        for colour in (ink, ground):
            number = Color.parse(colour).downgrade(ColorSystem.STANDARD).number
            assert number is not None
            assert VGA[number] == colour


def test_every_state_has_a_tone() -> None:
    assert set(TONES) == set(CueState)


@pytest.mark.parametrize(
    ("wanted", "colours", "palette"),
    [
        ("auto", 2**24, DARK),
        ("auto", 256, DARK),
        ("auto", 16, SIXTEEN),
        ("light", 16, PALETTES["light"]),
    ],
)
def test_choose_palette(wanted: str, colours: int, palette: Palette) -> None:
    assert choose_palette(wanted, colours) is palette


def test_an_unknown_theme_is_named() -> None:
    with pytest.raises(UsageError, match="'beige'"):
        choose_palette("beige", 256)


def _in_256_colours(colour: str) -> str:
    return Color.parse(colour).downgrade(ColorSystem.EIGHT_BIT).get_truecolor().hex
