"""A brew as others see it, polled."""

import pytest

from pourcoach.domain.advice import Flag, FlagKind, Word
from pourcoach.domain.pour import Phase
from pourcoach.session import one_brew
from pourcoach.session.one_brew import OneBrew
from pourcoach.sharing.seen import TileAge
from tests.tui.fake_sessions import FakeBrew, FakeReplay
from tests.tui.made_frames import make_frame


def pouring(board: OneBrew) -> FakeBrew:
    brew = FakeBrew()
    brew.newest = make_frame(20.0, Word.POUR, 97.3, phase=Phase.POURING)
    brew.now_s = 20.0
    board.show(brew)
    return brew


def test_nothing_is_seen_before_a_brew() -> None:
    (seen,) = OneBrew("1").seen()
    assert (seen.standing, seen.tile) == (TileAge.WAITING, None)


def test_the_newest_frame_is_seen_and_no_name() -> None:
    board = OneBrew("1")
    pouring(board)
    tile = board.look().tile
    assert tile is not None
    assert (tile.word, tile.weight_g, tile.person) == (Word.POUR, 97.3, None)


def test_a_name_is_seen_where_it_may_be() -> None:
    board = OneBrew("1", person="Ada")
    pouring(board)
    assert (tile := board.look().tile) is not None
    assert tile.person == "Ada"


def test_a_program_that_is_held_up_shows_no_frozen_number(monkeypatch: pytest.MonkeyPatch) -> None:
    board, now_s = OneBrew("1"), 100.0
    monkeypatch.setattr(one_brew.time, "monotonic", lambda: now_s)
    pouring(board)
    board.look()
    now_s += one_brew.STALE_S + 0.1
    assert (tile := board.look().tile) is not None
    assert (tile.word, tile.weight_g) == (Word.SCALE, None)


def test_a_paused_replay_is_not_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    board, now_s = OneBrew("1"), 100.0
    monkeypatch.setattr(one_brew.time, "monotonic", lambda: now_s)
    replay = FakeReplay()
    replay.newest = make_frame(20.0, Word.POUR, 97.3, phase=Phase.POURING)
    board.show(replay)
    now_s += 60.0
    assert (tile := board.look().tile) is not None
    assert tile.word is Word.POUR


def test_once_it_is_over_its_clock_stands_still() -> None:
    board = OneBrew("1")
    brew = pouring(board)
    board.ended()
    brew.now_s = 99.0
    assert (tile := board.look().tile) is not None
    assert tile.time_s == pytest.approx(brew.newest.pour.brew_s if brew.newest else None)


def test_all_findings_are_given() -> None:
    board = OneBrew("1")
    brew = pouring(board)
    assert brew.newest is not None
    flags = tuple(
        Flag(FlagKind.STALL, 10.0 + n, 12.0 + n, stage, 0.9, {"lasted_s": 2.0})
        for n, stage in enumerate(("bloom", "pour 1"))
    )
    brew.newest = brew.newest._replace(flags=flags)
    assert [key for key, _ in board.findings()] == [
        (FlagKind.STALL, "bloom"),
        (FlagKind.STALL, "pour 1"),
    ]
