"""Colours. State is shown by brightness, a mark and a word; never by hue alone."""

from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from rich.style import Style

from pourcoach.domain.advice import CueState
from pourcoach.domain.errors import UsageError


class Tone(Enum):
    """How loud the panel is. Three steps of brightness."""

    WAIT = "wait"
    """Nothing to do now."""
    TARGET = "target"
    """Pour, and all is well."""
    ACT = "act"
    """Do something now."""


TONES = {
    CueState.CALM: Tone.WAIT,
    CueState.ON_TARGET: Tone.TARGET,
    CueState.UNDER: Tone.ACT,
    CueState.OVER: Tone.ACT,
    CueState.UNSTEADY: Tone.ACT,
    CueState.DUE: Tone.ACT,
    CueState.LOST: Tone.ACT,
}


@dataclass(frozen=True, slots=True)
class Pair:
    """Text on its background, both ``#rrggbb``."""

    ink: str
    ground: str

    def style(self, *, bold: bool = False) -> Style:
        """For a Segment."""
        return _style(self.ink, self.ground, bold)


@dataclass(frozen=True, slots=True)
class Palette:
    """All colours of one theme, as ``#rrggbb``."""

    name: str
    label: str
    dark: bool
    text: Pair
    """Body text on the screen's ground."""
    dim: str
    """Labels and axes, on the screen's ground."""
    wait: Pair
    target: Pair
    act: Pair
    band: str
    """Shade of the tolerance band: a background."""
    curve: str
    """Target curve, on ground and on band."""
    poured: str
    """Poured curve and the fill of the off-target bar, on ground and on band."""

    def tone(self, tone: Tone) -> Pair:
        """The panel's colours."""
        return {Tone.WAIT: self.wait, Tone.TARGET: self.target, Tone.ACT: self.act}[tone]

    def on_ground(self, ink: str, *, bold: bool = False) -> Style:
        """Style of something drawn on the screen's ground."""
        return _style(ink, self.text.ground, bold)

    def on_band(self, ink: str) -> Style:
        """Style of something drawn on the tolerance band."""
        return _style(ink, self.band, False)


DARK = Palette(
    name="dark",
    label="Dark",
    dark=True,
    text=Pair("#e8eaed", "#0f1216"),
    dim="#9aa3ad",
    wait=Pair("#ffffff", "#20242b"),
    target=Pair("#ffffff", "#2272ad"),
    act=Pair("#000000", "#ffc24d"),
    band="#243648",
    curve="#9cc9ee",
    poured="#ffffff",
)
LIGHT = Palette(
    name="light",
    label="Light",
    dark=False,
    text=Pair("#1b1f24", "#ffffff"),
    dim="#59616b",
    wait=Pair("#000000", "#e4e7eb"),
    target=Pair("#ffffff", "#1f6fab"),
    act=Pair("#ffc24d", "#14100a"),
    band="#d6e6f4",
    curve="#1f6fab",
    poured="#14100a",
)
HIGH_CONTRAST = Palette(
    name="high-contrast",
    label="High contrast",
    dark=True,
    text=Pair("#ffffff", "#000000"),
    dim="#d0d0d0",
    wait=Pair("#ffffff", "#000000"),
    target=Pair("#ffffff", "#005fb8"),
    act=Pair("#000000", "#ffff00"),
    band="#1c3550",
    curve="#8fd0ff",
    poured="#ffff00",
)
PROJECTOR = Palette(
    name="projector",
    label="Projector",
    dark=False,
    text=Pair("#000000", "#ffffff"),
    dim="#404040",
    wait=Pair("#000000", "#dfe3e8"),
    target=Pair("#ffffff", "#005fa6"),
    act=Pair("#ffdf6b", "#000000"),
    band="#bcd4ea",
    curve="#00407a",
    poured="#000000",
)
# Exactly colours of the 16 that a text-mode VGA adapter shows, so that coming down to 16 colours
# changes nothing. Grounds are kept to the first eight or to white, since the Linux console dims
# a bright ground to its plain one. Magenta is the only one a good step from black and from white.
SIXTEEN = Palette(
    name="16-colour",
    label="16 colours",
    dark=True,
    text=Pair("#ffffff", "#000000"),
    dim="#aaaaaa",
    wait=Pair("#ffffff", "#000000"),
    target=Pair("#ffffff", "#aa00aa"),
    act=Pair("#000000", "#ffffff"),
    band="#0000aa",
    curve="#55ffff",
    poured="#ffff55",
)

PALETTES = {palette.name: palette for palette in (DARK, LIGHT, HIGH_CONTRAST, PROJECTOR, SIXTEEN)}


def choose_palette(wanted: str, colours: int) -> Palette:
    """The palette asked for; with "auto" the dark one, or the 16-colour one where fewer than
    256 ``colours`` can be shown. Raises UsageError for an unknown name.
    """
    if wanted == "auto":
        return SIXTEEN if colours < 256 else DARK
    if wanted not in PALETTES:
        raise UsageError(f"no theme is called {wanted!r}", "use auto, " + ", ".join(PALETTES))
    return PALETTES[wanted]


@lru_cache(maxsize=256)
def _style(ink: str, ground: str, bold: bool) -> Style:
    return Style(color=ink, bgcolor=ground, bold=bold)
