"""Sound through a player of the machine: an executable on PATH that records what it is given."""

import os
import time
from collections.abc import Callable
from io import FileIO

import numpy as np
import pytest

from pourcoach.domain.advice import Word
from pourcoach.sound.player import INSTALL, MOST_AHEAD_S
from pourcoach.sound.sound import Sound
from pourcoach.sound.synthesis import RATE_HZ, frequency, motif_samples
from pourcoach.sound.voice import Wanted
from pourcoach.wording.motifs import MOTIFS
from tests.page.boards import FakeBoard, pouring
from tests.sound.fake_player import FakePlayer, loudest_hz


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pourcoach.sound.player.SETTLED_S", 0.02)
    monkeypatch.setattr("pourcoach.sound.player.START_WITHIN_S", 5.0)


def until(holds: Callable[[], bool]) -> None:
    until_s = time.monotonic() + 20.0
    while not holds():
        assert time.monotonic() < until_s, "it never came"
        time.sleep(0.005)


def test_a_word_that_changes_is_played_by_the_machines_player(player: FakePlayer) -> None:
    player.plays("aplay")
    said: list[str] = []
    board = FakeBoard()
    with Sound(board, Wanted(), 0.5, said.append):
        until(lambda: len(player.heard) > 0)
        assert not player.heard.any()
        board.stations = [pouring(word=Word.STOP)]
        until(lambda: bool(player.heard.any()))
        first = int(np.argmax(player.heard != 0.0))
        until(lambda: len(player.heard) > first + RATE_HZ // 2)
    heard = player.heard[first:]
    assert np.max(np.abs(heard)) == pytest.approx(0.5, abs=0.05)
    tone = MOTIFS[Word.STOP].tones[0]
    part = heard[: round(tone.length_s * RATE_HZ)]
    assert loudest_hz(part) == pytest.approx(frequency(tone.semitones), abs=12)
    assert not heard[len(motif_samples(Word.STOP)) :].any()
    (asked,) = player.asked
    assert asked.startswith("aplay ")
    assert "-f S16_LE -c 1 -r 48000" in asked
    assert said == []


def test_a_player_that_cannot_have_the_device_gives_way_to_the_next(player: FakePlayer) -> None:
    player.fails("aplay")
    player.plays("paplay")
    said: list[str] = []
    with Sound(FakeBoard(), Wanted(), 0.5, said.append):
        until(lambda: len(player.heard) > 0)
    assert [line.split()[0] for line in player.asked] == ["aplay", "paplay"]
    assert said == []


@pytest.mark.usefixtures("player")
def test_without_any_player_one_line_says_so_and_all_goes_on() -> None:
    said: list[str] = []
    with Sound(FakeBoard(), Wanted(), 0.5, said.append) as sound:
        sound.louder()
        sound.mute()
        assert sound.muted
    (line,) = said
    assert line == f"no sound: no player was found (aplay, paplay); {INSTALL}"


def test_without_any_device_the_players_own_reason_is_given(player: FakePlayer) -> None:
    player.fails("aplay", "audio open error: no such device")
    said: list[str] = []
    with Sound(FakeBoard(), Wanted(), 0.5, said.append):
        pass
    (line,) = said
    assert line.startswith("no sound: aplay: audio open error: no such device")


def test_a_player_that_ends_in_between_is_reported_at_the_end(player: FakePlayer) -> None:
    player.plays()
    said: list[str] = []
    with Sound(FakeBoard(), Wanted(), 0.5, said.append) as sound:
        until(lambda: len(player.heard) > 0)
        process = sound._player._process
        assert process is not None
        process.kill()
        until(lambda: sound._player.trouble is not None)
        assert said == []
    assert said == ["no sound: aplay: it has ended"]


def test_a_player_that_takes_nothing_holds_nobody_up(
    player: FakePlayer, monkeypatch: pytest.MonkeyPatch
) -> None:
    player.takes_nothing("aplay")
    monkeypatch.setattr("pourcoach.sound.player.START_WITHIN_S", 0.05)
    said: list[str] = []
    began_s = time.monotonic()
    board = FakeBoard()
    with Sound(board, Wanted(), 0.5, said.append) as sound:
        board.stations = [pouring(word=Word.STOP)]
        sound.mute()
    assert said == []
    assert time.monotonic() - began_s < 10.0


def test_a_player_that_takes_all_at_once_is_not_given_hours(player: FakePlayer) -> None:
    player.swallows("aplay")
    began_s = time.monotonic()
    with Sound(FakeBoard(), Wanted(), 0.5, lambda _: None):
        until(lambda: len(player.heard) > RATE_HZ)
    most_s = time.monotonic() - began_s + MOST_AHEAD_S + 0.1
    assert len(player.heard) < most_s * RATE_HZ


def test_the_volume_goes_round_and_lets_itself_be_heard(player: FakePlayer) -> None:
    player.plays()
    with Sound(FakeBoard(), Wanted(), 0.8, lambda _: None) as sound:
        sound.mute()
        volumes = []
        for _ in range(3):
            sound.louder()
            volumes.append(sound.volume)
        assert volumes == [1.0, 0.2, 0.4]
        assert not sound.muted
        until(lambda: bool(player.heard.any()))


def test_words_are_spoken_by_the_machines_speaker(player: FakePlayer) -> None:
    player.plays()
    player.only_asked("espeak-ng")
    board = FakeBoard()
    with Sound(board, Wanted(words=False, speech=True), 0.5, lambda _: None):
        until(lambda: len(player.heard) > 0)
        for word in (Word.SCALE, Word.STOP):
            board.stations = [pouring(word=word)]
            spoken = f"espeak-ng {word.value.rstrip('?').lower()}"
            until(lambda s=spoken: s in player.asked)  # type: ignore[misc]
    assert not player.heard.any()


def test_without_a_speaker_one_line_says_so_and_the_sounds_are_played(player: FakePlayer) -> None:
    player.plays()
    said: list[str] = []
    with Sound(FakeBoard(), Wanted(speech=True), 0.5, said.append):
        until(lambda: len(player.heard) > 0)
    (line,) = said
    assert line.startswith("no speech: none of espeak-ng, espeak, spd-say, say was found")


def test_the_extra_plays_a_stream_to_its_end() -> None:
    """The real library on a device that plays to nobody, in real time."""
    miniaudio = pytest.importorskip("miniaudio")
    from pourcoach.sound.device import play

    read, write = os.pipe()
    os.write(write, bytes(RATE_HZ // 50 * 2))
    os.close(write)
    with FileIO(read) as stream:
        play(stream, [miniaudio.Backend.NULL])
        assert stream.read() == b""
