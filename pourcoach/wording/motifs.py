"""What each word sounds like: one set for the page and for the terminal program.

Motifs differ by direction, number and length of their tones, so that they are known apart without
an ear for pitch. That a sound for each word helps, and these more than others, is chosen and not
shown by any study.
"""

from collections.abc import Mapping
from typing import NamedTuple

from pourcoach.domain.advice import Word
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

CONCERT_HZ = 440.0
"""The tone from which semitones count (ISO 16:1975)."""


class MotifTone(NamedTuple):
    """One tone of a motif."""

    semitones: int
    """From CONCERT_HZ, in equal temperament."""
    start_s: Seconds
    length_s: Seconds


class Motif(NamedTuple):
    """One word as tones."""

    says: str
    """What to listen for."""
    tones: tuple[MotifTone, ...]


def _motif(says: str, *tones: tuple[int, Seconds, Seconds]) -> Motif:
    return Motif(says, tuple(MotifTone(*each) for each in tones))


MOTIFS: Mapping[Word, Motif] = {
    Word.TARE: _motif("two low taps", (-12, 0.0, 0.07), (-12, 0.12, 0.07)),
    Word.READY: _motif("one soft middle tone", (0, 0.0, 0.16)),
    Word.BLOOM: _motif("a step up", (0, 0.0, 0.1), (5, 0.11, 0.16)),
    Word.POUR: _motif("a leap up", (0, 0.0, 0.1), (12, 0.11, 0.16)),
    Word.MORE: _motif("three steps up", (3, 0.0, 0.07), (5, 0.08, 0.07), (7, 0.16, 0.1)),
    Word.SLOW: _motif("three steps down", (7, 0.0, 0.07), (5, 0.08, 0.07), (3, 0.16, 0.1)),
    Word.STEADY: _motif("up and down again", (4, 0.0, 0.07), (7, 0.08, 0.07), (4, 0.16, 0.1)),
    Word.STOP: _motif("two high tones, short and loud", (14, 0.0, 0.09), (14, 0.13, 0.14)),
    Word.WAIT: _motif("a leap down", (7, 0.0, 0.1), (-5, 0.11, 0.18)),
    Word.DRAIN: _motif("a slow fall", (0, 0.0, 0.12), (-4, 0.13, 0.12), (-9, 0.26, 0.2)),
    Word.DONE: _motif(
        "a chord, one after another",
        (0, 0.0, 0.1), (4, 0.11, 0.1), (7, 0.22, 0.1), (12, 0.33, 0.22),
    ),
    Word.SCALE: _motif("a low buzz, twice", (-17, 0.0, 0.14), (-17, 0.2, 0.14)),
}  # fmt: skip

# The pitch that can be heard while pouring; it glides and never beeps.
POURING_WORDS = frozenset({Word.BLOOM, Word.POUR, Word.MORE, Word.SLOW, Word.STEADY})
PITCH_REACH_G: Grams = 20.0
"""So far off the target the pitch is an octave off: as far as the bar on the screens reaches."""
USUAL_FLOW_GPS: GramsPerSecond = 5.0
"""Of one's own flow, at the middle pitch."""
GLIDE_S: Seconds = 0.08
"""Slow enough not to be a beep, quick enough to follow a hand."""
OCTAVE = 12


def off_target_pitch(off_g: Grams | None, band_g: Grams | None) -> float | None:
    """Semitones below or above the middle for water under or over the target; None within the
    band, and where it is not known."""
    if off_g is None or abs(off_g) <= (band_g or 0.0):
        return None
    return OCTAVE * min(1.0, max(-1.0, off_g / PITCH_REACH_G))


def flow_pitch(flow_gps: GramsPerSecond | None) -> float | None:
    """Semitones for one's own flow: the middle at USUAL_FLOW_GPS, an octave at most."""
    if flow_gps is None:
        return None
    return OCTAVE * (min(2.0, max(0.0, flow_gps / USUAL_FLOW_GPS)) - 1.0)
