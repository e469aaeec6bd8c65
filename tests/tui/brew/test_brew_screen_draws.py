"""When the brew screen draws anew: a frame, a word that falls due, silence, a notice."""

from collections.abc import Callable
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.tui.brew.brew_board import BrewBoard
from pourcoach.tui.brew.panels import WordPanel
from pourcoach.tui.renderables.block_text import block_text
from pourcoach.tui.renderables.glyphs import FULL
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


async def test_a_word_is_on_its_way_before_the_next_input(
    monkeypatch: pytest.MonkeyPatch, fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    """It waits for no message and no timer."""
    session = fake_brew()
    app = brew_app(session)
    async with pouring(app, session, size=(100, 30)) as pilot:
        await drawn(pilot)
        sent: list[str] = []
        display = app._display

        def noting(screen: Any, update: Any) -> None:
            sent.append(update.render_segments(app.console))
            display(screen, update)

        monkeypatch.setattr(app, "_display", noting)
        session.feed(frame(10.1, Word.STOP, 30.5, phase=Phase.POURING))
        first_row = block_text("STOP", FULL, 2, 2)[0]
        assert [first_row in text for text in sent] == [True]


async def test_frames_that_come_late_are_not_drawn_one_by_one(
    monkeypatch: pytest.MonkeyPatch, fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    """STOP is shown, for it is due by the clock; they are from before that."""
    session = fake_brew()
    app = brew_app(session)

    def late(nth: int) -> Any:
        at_s = 10.0 + nth / 80
        return frame(at_s, Word.POUR, 30.0, phase=Phase.POURING, stop_due_s=12.0)

    async with pouring(app, session, size=(100, 30)) as pilot:
        session.feed(late(0))
        session.now_s = 12.1
        await drawn(pilot)
        assert shown_word(app) is Word.STOP
        board = app.screen.query_one(BrewBoard)
        views: list[Any] = []
        monkeypatch.setattr(board, "show_figure", views.append)
        session.feed(*map(late, range(1, 40)))
        assert len(views) <= 1


async def test_what_lies_over_the_brew_stays_when_the_brew_is_drawn(
    fake_brew: Any, brew_app: Any, frame: MakeFrame, screen_text: Callable[[Any], str]
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with pouring(app, session, size=(60, 20)) as pilot:
        await drawn(pilot)
        await pilot.press("q")
        await drawn(pilot)
        over = screen_text(app)
        assert "Stop this brew?" in over
        session.feed(frame(10.1, Word.STOP, 30.0, phase=Phase.POURING))
        await drawn(pilot)
        asked = [row for row in over.split("\n") if "Stop this brew?" in row]
        assert asked == [row for row in screen_text(app).split("\n") if "Stop this brew?" in row]


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
