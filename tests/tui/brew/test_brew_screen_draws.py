"""When the brew screen draws anew: a frame, a word that falls due, silence, a notice."""

from collections.abc import Callable
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.tui.brew.panels import WordPanel
from tests.tui.brew_frames import Frames, MakeFrame, drawn, pouring


def shown_word(app: Any) -> Word:
    return app.screen.query_one(WordPanel).shown.word  # type: ignore[no-any-return]


async def test_a_frame_is_drawn_at_once_and_then_only_the_newest(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await drawn(pilot)
        panel = app.screen.query_one(WordPanel)
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        assert panel.shown.figure == "30.0"
        session.feed(
            *(frame(10.0 + n / 80, Word.POUR, 30.0 + n, phase=Phase.POURING) for n in (1, 2))
        )
        assert panel.shown.figure == "30.0"
        await drawn(pilot)
        assert panel.shown.figure == "32.0"


async def test_stop_comes_when_due_without_a_frame(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause()
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING, stop_due_s=10.2))
        await drawn(pilot)
        assert shown_word(app) is Word.POUR
        session.now_s = 10.25
        await pilot.pause(0.2)
        assert shown_word(app) is Word.STOP


async def test_silence_shows_by_itself_and_goes_with_the_next_frame(
    monkeypatch: pytest.MonkeyPatch, fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    monkeypatch.setattr("pourcoach.tui.brew.brew_screen.STALE_S", 0.8)
    session = fake_brew()
    app = brew_app(session)
    async with pouring(app, session) as pilot:
        await drawn(pilot)
        assert shown_word(app) is Word.POUR
        await pilot.pause(1.2)
        assert shown_word(app) is Word.SCALE
        session.feed(frame(10.6, Word.POUR, 33.0, phase=Phase.POURING))
        await drawn(pilot)
        assert shown_word(app) is Word.POUR


async def test_a_notice_takes_the_last_row(
    fake_brew: Any, brew_app: Any, frame: MakeFrame, screen_text: Callable[[Any], str]
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        session.notice = "The tape cannot be written: the disk is full."
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        await drawn(pilot)
        last = screen_text(app).split("\n")[-1]
        assert last.startswith("  !  The tape cannot be written: the disk is full.")
        assert last.endswith("? Help")


async def test_seeking_back_begins_the_trace_anew(
    fake_replay: Any,
    brew_app: Any,
    brew_until: Callable[[float], Frames],
    screen_text: Callable[[Any], str],
) -> None:
    texts = []
    for seeks in (False, True):
        session = fake_replay()
        app = brew_app(session)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            if seeks:
                session.feed(*brew_until(150.0))
                await drawn(pilot)
            session.feed(*brew_until(50.0))
            await drawn(pilot)
            texts.append(screen_text(app))
    assert texts[1] == texts[0]
