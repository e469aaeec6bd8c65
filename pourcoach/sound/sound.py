"""Sound while a brew lasts: what is wanted of it, what plays it, what its keys do."""

from collections.abc import Callable
from types import TracebackType
from typing import Self

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import WorkError
from pourcoach.sharing.seen import Board
from pourcoach.sound.mixer import Mixer
from pourcoach.sound.player import Player
from pourcoach.sound.speaker import Speaker
from pourcoach.sound.synthesis import motif_samples
from pourcoach.sound.voice import Voice, Wanted

VOLUME_STEPS = 5
"""From the least to all of it: what one key goes round in."""


class Sound:
    """Plays what a Board of one station says, from the beginning of a ``with`` to its end. No
    trouble of it reaches the brew."""

    def __init__(
        self, board: Board, wanted: Wanted, volume: float, say: Callable[[str], None]
    ) -> None:
        """``volume``: 0 to 1. ``say`` is given one line where there is no sound, or no speech."""
        self._say = say
        self._wanted = wanted
        self._mixer = Mixer(volume)
        self._speaker: Speaker | None = None
        self._player = Player(Voice(board, wanted, self._mixer, self._speak).pull)
        self._plays = False

    def __enter__(self) -> Self:
        if self._wanted.speech:
            try:
                self._speaker = Speaker()
            except WorkError as error:
                self._say(str(error))
        try:
            self._player.start()
            self._plays = True
        except WorkError as error:
            self._say(str(error))
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._player.close()
        if self._speaker is not None:
            self._speaker.close()
        if self._plays and self._player.trouble is not None:
            self._say(self._player.trouble)

    @property
    def muted(self) -> bool:
        return self._mixer.muted

    def mute(self) -> None:
        """Mute it, or let it be heard again."""
        self._mixer.muted = not self.muted
        if not self.muted:
            self._sample()

    def louder(self) -> None:
        """A step louder, and from the loudest to the softest."""
        step = round(self._mixer.volume * VOLUME_STEPS) % VOLUME_STEPS + 1
        self._mixer.volume = step / VOLUME_STEPS
        self._mixer.muted = False
        self._sample()

    @property
    def volume(self) -> float:
        return self._mixer.volume

    def _sample(self) -> None:
        """Let it be heard how loud it is."""
        self._mixer.play(motif_samples(Word.READY))

    def _speak(self, word: Word) -> None:
        if self._speaker is not None:
            self._speaker.say(word)
