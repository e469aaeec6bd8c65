"""Three sets of characters to draw with, for what a terminal and its font can show."""

from collections.abc import Mapping
from dataclasses import dataclass

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import UsageError


@dataclass(frozen=True, slots=True, eq=False)
class Glyphs:
    """One set. Every glyph is one column wide. A set equals only itself."""

    name: str
    solid: str
    upper: str
    """Upper half block; empty where the set has no half blocks, as are the three below."""
    lower: str
    left: str
    right: str
    quadrants: str
    """16 characters by mask: 1 upper left, 2 upper right, 4 lower left, 8 lower right."""
    dot: str
    """For the target curve; empty where braille is drawn instead."""
    track: str
    """Off-target bar: the scale outside the band."""
    band: str
    """Off-target bar: the scale inside the band."""
    centre: str
    off_left: str
    """Off-target bar: further under than it can show."""
    off_right: str
    axis: str
    tick: str
    """On the vertical axis, beside a number."""
    corner: str
    floor: str
    paused: str
    running: str
    left_right: str
    """Names of the cursor keys, as is the one below; the only fields longer than one glyph."""
    up_down: str
    marks: Mapping[Word, str]
    """The mark that says a word again by shape."""

    @property
    def halves(self) -> bool:
        """Whether the set has half blocks."""
        return bool(self.upper)

    @property
    def braille(self) -> bool:
        """Whether the target curve is drawn in braille dots."""
        return not self.dot


FULL = Glyphs(
    name="full",
    solid="█",
    upper="▀",
    lower="▄",
    left="▌",
    right="▐",
    quadrants=" ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█",
    dot="",
    track="─",
    band="═",
    centre="╪",
    off_left="◄",
    off_right="►",
    axis="│",
    tick="┤",
    corner="└",
    floor="─",
    paused="║",
    running="►",
    left_right="← →",
    up_down="↑ ↓",
    marks={
        Word.TARE: "!",
        Word.READY: "○",
        Word.BLOOM: "►",
        Word.POUR: "►",
        Word.MORE: "▲",
        Word.SLOW: "▼",
        Word.STEADY: "≈",
        Word.STOP: "■",
        Word.WAIT: "║",
        Word.DRAIN: "↓",
        Word.DONE: "√",
        Word.SCALE: "!",
    },
)
"""Quadrant blocks and braille. No sextants: common fonts show them as empty boxes."""

CP437 = Glyphs(
    name="cp437",
    solid="█",
    upper="▀",
    lower="▄",
    left="▌",
    right="▐",
    # Only halves exist in code page 437: a lone quadrant grows to the half it lies in.
    quadrants=" ▀▀▀▄▌██▄█▐█▄███",
    dot="·",
    track="─",
    band="═",
    centre="╪",
    off_left="◄",
    off_right="►",
    axis="│",
    tick="┤",
    corner="└",
    floor="─",
    paused="║",
    running="►",
    left_right="← →",
    up_down="↑ ↓",
    marks=FULL.marks,
)
"""What the IBM PC's code page 437 holds: the Linux console and old Windows consoles."""

ASCII = Glyphs(
    name="ascii",
    solid="#",
    upper="",
    lower="",
    left="",
    right="",
    quadrants=" " + "*" * 15,
    dot=".",
    track="-",
    band="=",
    centre="|",
    off_left="<",
    off_right=">",
    axis="|",
    tick="+",
    corner="+",
    floor="-",
    paused="=",
    running=">",
    left_right="left right",
    up_down="up down",
    marks={
        Word.TARE: "!",
        Word.READY: "o",
        Word.BLOOM: ">",
        Word.POUR: ">",
        Word.MORE: "^",
        Word.SLOW: "v",
        Word.STEADY: "~",
        Word.STOP: "#",
        Word.WAIT: "=",
        Word.DRAIN: ":",
        Word.DONE: "*",
        Word.SCALE: "!",
    },
)

GLYPH_SETS = {glyphs.name: glyphs for glyphs in (FULL, CP437, ASCII)}
CHOICES = ("auto", *GLYPH_SETS)


def choose_glyphs(
    wanted: str, *, encoding: str | None, environ: Mapping[str, str], platform: str
) -> Glyphs:
    """The set asked for, or with "auto" the richest one this terminal can be trusted with.

    ``encoding`` is that of the stream drawn to (Textual draws to standard error), ``platform``
    as in ``sys.platform``. Raises UsageError for a name that is none of CHOICES.
    """
    if wanted != "auto":
        if wanted not in GLYPH_SETS:
            raise UsageError(f"no glyph set is called {wanted!r}", "use " + ", ".join(CHOICES))
        return GLYPH_SETS[wanted]
    if (encoding or "").lower().replace("-", "").replace("_", "") not in ("utf8", "cp65001"):
        return ASCII
    # Windows Terminal names itself by WT_SESSION; other modern ones by TERM_PROGRAM.
    old_console = platform == "win32" and not (environ.keys() & {"WT_SESSION", "TERM_PROGRAM"})
    if environ.get("TERM") == "linux" or old_console:
        return CP437
    return FULL
