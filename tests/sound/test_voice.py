from typing import Any

import numpy as np
import pytest

from pourcoach.domain.advice import Word
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sound.mixer import Mixer
from pourcoach.sound.voice import Pitch, Voice, Wanted
from tests.page.boards import FakeBoard, pouring

BLOCK = 960


class Listening:
    """A voice, and what was heard of it."""

    def __init__(self, wanted: Wanted, *stations: SeenStation) -> None:
        self.board = FakeBoard(list(stations) or [pouring()])
        self.mixer = Mixer(1.0)
        self.spoken: list[Word] = []
        self.voice = Voice(self.board, wanted, self.mixer, self.spoken.append)
        self.voice.pull(BLOCK)

    def hear(self, *stations: SeenStation) -> bool:
        """Whether anything sounds in the block after the board is another."""
        self.board.stations = list(stations)
        return bool(np.frombuffer(self.voice.pull(BLOCK), "<i2").any())


def off(off_g: float | None, band_g: float | None = 3.0, **more: Any) -> SeenStation:
    from dataclasses import replace

    seen = pouring(**more)
    assert seen.tile is not None
    return replace(seen, tile=replace(seen.tile, off_g=off_g, band_g=band_g, flow_gps=7.5))


def test_a_change_of_word_is_heard_and_no_reading_is() -> None:
    listening = Listening(Wanted())
    assert not listening.hear(pouring(grams=98.0))
    assert not listening.hear(pouring(grams=99.0))
    assert listening.hear(pouring(word=Word.STOP))
    assert listening.spoken == []


def test_what_stood_there_before_anybody_listened_is_no_change() -> None:
    listening = Listening(Wanted(), SeenStation("1", TileAge.WAITING))
    assert not listening.hear(pouring())


def test_speech_is_of_changes_too_and_words_can_be_left_out() -> None:
    listening = Listening(Wanted(words=False, speech=True))
    assert not listening.hear(pouring(word=Word.STOP))
    assert not listening.hear(pouring(word=Word.STOP))
    assert listening.spoken == [Word.STOP]


def test_muted_it_is_silent_and_comes_back_with_the_next_change() -> None:
    listening = Listening(Wanted(pitch=Pitch.TARGET, speech=True))
    listening.hear(off(9.0))
    listening.mixer.muted = True
    listening.hear(off(9.0, word=Word.SLOW))  # fades out
    assert not listening.hear(off(9.0, word=Word.SLOW))
    listening.mixer.muted = False
    assert listening.spoken == []
    assert listening.hear(pouring(word=Word.STOP))


@pytest.mark.parametrize(
    ("off_g", "semitones"),
    [(-10.0, -6.0), (10.0, 6.0), (-35.0, -12.0), (40.0, 12.0), (2.9, None), (-3.0, None)],
)
def test_the_pitch_is_lower_under_and_higher_over_the_target(
    off_g: float, semitones: float | None
) -> None:
    listening = Listening(Wanted(pitch=Pitch.TARGET))
    listening.hear(off(off_g))
    assert listening.mixer.pitch == semitones


def test_the_pitch_is_for_pouring_only() -> None:
    listening = Listening(Wanted(pitch=Pitch.TARGET))
    for word in (Word.STOP, Word.WAIT, Word.DRAIN, Word.SCALE):
        listening.hear(off(10.0, word=word))
        assert listening.mixer.pitch is None


def test_in_training_no_pitch_says_how_far_off_it_is() -> None:
    from dataclasses import replace

    target = Listening(Wanted(pitch=Pitch.TARGET))
    target.hear(replace(off(10.0), pitch=False))
    assert target.mixer.pitch is None
    flow = Listening(Wanted(pitch=Pitch.FLOW))
    flow.hear(replace(off(10.0), pitch=False))
    assert flow.mixer.pitch == 6.0


def test_what_is_hidden_is_not_heard() -> None:
    listening = Listening(Wanted(pitch=Pitch.TARGET))
    listening.hear(off(None))
    assert listening.mixer.pitch is None
