"""What sounds just now, as a stream of samples that never stops."""

import math

import numpy as np

from pourcoach.sound.synthesis import RATE_HZ, Samples, frequency
from pourcoach.wording.motifs import GLIDE_S, OCTAVE

# The pitch is background: a word must be heard over it.
PITCH_LEVEL = 0.25
# What is cut off by the next word fades out so fast that it is gone before that is heard.
CUT_FRAMES = RATE_HZ // 200
# Below it nothing is heard, and nothing needs to be worked out.
SILENT = 1e-4
FULL_SCALE = 32_767


class Mixer:
    """One motif at a time, the newest, over a gliding pitch.

    One thread renders; ``volume``, ``muted`` and ``pitch`` may be set from another.
    """

    def __init__(self, volume: float) -> None:
        """``volume``: 0 to 1."""
        self.volume = volume
        self.muted = False
        self.pitch: float | None = None
        """Semitones from the middle; None is silence."""
        self._left: Samples = np.zeros(0, np.float32)
        """Of the motif that sounds."""
        self._level = 0.0
        self._semitones = 0.0
        self._turns = 0.0
        """Of the pitch's wave so far, less whole ones."""
        self._gain = volume

    def play(self, motif: Samples) -> None:
        """Let a motif sound from the next frame on, in place of the one before."""
        left = motif.copy()
        rest = self._left[:CUT_FRAMES]
        if len(rest):
            left[: len(rest)] += rest * np.linspace(1.0, 0.0, len(rest), dtype=np.float32)
        self._left = left

    def render(self, frames: int) -> bytes:
        """The next ``frames`` samples, mono, 16 bits, little-endian."""
        out = np.zeros(frames, np.float32)
        motif, self._left = self._left[:frames], self._left[frames:]
        out[: len(motif)] = motif
        out += self._drone(frames)
        gain = self._gain
        # A jump in loudness would click.
        self._gain = 0.0 if self.muted else self.volume
        out *= np.linspace(gain, self._gain, frames, dtype=np.float32)
        return (np.clip(out, -1.0, 1.0) * FULL_SCALE).astype("<i2").tobytes()

    def _drone(self, frames: int) -> Samples | float:
        pitch = self.pitch
        level, semitones = self._level, self._semitones
        nearer = 1.0 - math.exp(-frames / RATE_HZ / GLIDE_S)
        self._level += nearer * ((0.0 if pitch is None else PITCH_LEVEL) - level)
        if pitch is not None:
            # From silence it begins where it belongs, and does not sweep there.
            semitones = pitch if level < SILENT else semitones
            self._semitones = semitones + nearer * (pitch - semitones)
        if self._level < SILENT and level < SILENT:
            self._level = 0.0
            return 0.0
        # An octave below the motifs, so that it masks none.
        hertz = np.linspace(
            frequency(semitones - OCTAVE), frequency(self._semitones - OCTAVE), frames
        )
        turns = self._turns + np.cumsum(hertz) / RATE_HZ
        self._turns = float(turns[-1] % 1.0)
        levels = np.linspace(level, self._level, frames)
        return (levels * np.sin(2 * np.pi * turns)).astype(np.float32)
