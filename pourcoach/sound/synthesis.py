"""Motifs as samples. Pure, and the same on every machine."""

from collections.abc import Sequence
from functools import cache

import numpy as np
import numpy.typing as npt

from pourcoach.domain.advice import Word
from pourcoach.domain.units import Hertz
from pourcoach.wording.motifs import CONCERT_HZ, MOTIFS, OCTAVE, MotifTone

RATE_HZ = 48_000
"""Of all samples: what sound cards run at, so that nobody resamples."""
# Without soft edges a tone clicks.
ATTACK_S, RELEASE_S = 0.008, 0.02

Samples = npt.NDArray[np.float32]
"""Mono, -1 to 1, at RATE_HZ."""


def frequency(semitones: float) -> Hertz:
    """The frequency, in Hz, of a tone in equal temperament."""
    return float(CONCERT_HZ * 2 ** (semitones / OCTAVE))


@cache
def motif_samples(word: Word) -> Samples:
    """The word's motif at full loudness."""
    return tones_samples(MOTIFS[word].tones)


def tones_samples(tones: Sequence[MotifTone]) -> Samples:
    """Triangle waves, one after another or over each other."""
    end_s = max(tone.start_s + tone.length_s for tone in tones)
    samples = np.zeros(round(end_s * RATE_HZ), np.float32)
    for tone in tones:
        first = round(tone.start_s * RATE_HZ)
        wave = _triangle(frequency(tone.semitones), round(tone.length_s * RATE_HZ))
        samples[first : first + len(wave)] += wave[: len(samples) - first]
    return samples


def _triangle(hertz: Hertz, count: int) -> Samples:
    at = np.arange(count) / RATE_HZ
    wave = 4.0 * np.abs((at * hertz - 0.25) % 1.0 - 0.5) - 1.0
    edges = np.minimum(at / ATTACK_S, (at[-1] - at) / RELEASE_S)
    return np.asarray(wave * np.clip(edges, 0.0, 1.0), np.float32)
