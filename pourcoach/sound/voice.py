"""A brew by ear: looks at a Board whenever the next samples are due."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.advice import Word
from pourcoach.sharing.seen import Board, SeenStation
from pourcoach.sound.mixer import Mixer
from pourcoach.sound.synthesis import motif_samples
from pourcoach.wording.motifs import POURING_WORDS, flow_pitch, off_target_pitch


class Pitch(Enum):
    """What the pitch follows while water runs."""

    TARGET = "target"
    """Lower under the target, higher over it, silent within the band."""
    FLOW = "flow"
    """One's own flow."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be heard."""

    words: bool = True
    """A motif for each change of word."""
    pitch: Pitch | None = None
    speech: bool = False


class Voice:
    """Turns what a Board of one station says into samples."""

    def __init__(self, board: Board, wanted: Wanted, mixer: Mixer, say: Callable[[Word], None]):
        """``say`` speaks a word; it must not wait until it is spoken."""
        self._board = board
        self._wanted = wanted
        self._mixer = mixer
        self._say = say
        self._word: Word | None = None

    def pull(self, frames: int) -> bytes:
        """The next ``frames`` samples, with what the board says now in them."""
        seen = self._board.seen()
        if seen:
            self._hear(seen[0])
        return self._mixer.render(frames)

    def _hear(self, seen: SeenStation) -> None:
        tile = seen.tile
        word = None if tile is None else tile.word
        if word is not None and word is not self._word:
            # What was there before anybody listened is no change.
            if self._word is not None and not self._mixer.muted:
                if self._wanted.words:
                    self._mixer.play(motif_samples(word))
                if self._wanted.speech:
                    self._say(word)
            self._word = word
        self._mixer.pitch = self._pitch(seen)

    def _pitch(self, seen: SeenStation) -> float | None:
        tile = seen.tile
        if self._mixer.muted or tile is None or tile.word not in POURING_WORDS:
            return None
        match self._wanted.pitch:
            case Pitch.TARGET:
                return off_target_pitch(tile.off_g, tile.band_g) if seen.pitch else None
            case Pitch.FLOW:
                return flow_pitch(tile.flow_gps)
            case None:
                return None
