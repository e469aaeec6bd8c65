"""How a brew ends, and how its screen is left."""

from collections.abc import Callable
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Phase
from pourcoach.recordings.tape import Tape, TapeHeader
from pourcoach.session.replay.replay import ReplaySession
from pourcoach.tui.brew.brew_screen import BrewScreen
from pourcoach.tui.brew.leave import Leave
from pourcoach.tui.dialogs.dialogs import QuestionScreen
from tests.tui.brew_frames import MakeFrame, drawn, pouring


async def test_leaving_asks_only_while_brewing(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    expected = {
        (Phase.READY, "q"): Leave.QUIT,
        (Phase.READY, "escape"): Leave.BACK,
        (Phase.POURING, "q"): None,
        (Phase.POURING, "q n"): None,
        (Phase.POURING, "q y"): Leave.QUIT,
        (Phase.WAITING, "escape y"): Leave.BACK,
        (Phase.DRAINING, "escape escape"): None,
        (Phase.DONE, "q"): Leave.QUIT,
    }
    app = brew_app(fake_brew())
    left: dict[tuple[Phase, str], Leave | None] = {}
    async with app.run_test() as pilot:
        for phase, keys in expected:
            session = fake_brew()
            depth = len(app.screen_stack)
            answers: list[Leave | None] = []
            app.push_screen(BrewScreen(session), answers.append)
            await pilot.pause()
            session.feed(frame(10.0, Word.POUR, 30.0, phase=phase))
            for key in keys.split():
                await pilot.press(key)
                await pilot.pause()
            await pilot.pause()
            left[phase, keys] = answers[0] if answers else None
            assert session.asked == (["stop"] if answers else [])
            while len(app.screen_stack) > depth:
                await app.pop_screen()
    assert left == expected


async def test_a_replay_can_be_wound_back_after_its_end(
    brew_app: Any, screen_text: Callable[[Any], str]
) -> None:
    tape = Tape(TapeHeader(), tuple(Reading(t_s=n / 10, grams=0.0) for n in range(101)), 10.0)
    session = ReplaySession(tape, speed=200.0)
    app = brew_app(session)
    async with app.run_test(size=(100, 30)) as pilot:
        while "5 s back" not in screen_text(app):
            await drawn(pilot)
        await pilot.press("right")  # There is nothing beyond the end.
        assert session.position_s == tape.last_s
        for _ in range(6):  # Else it would be over again before the next key.
            session.slower()
        await pilot.press("left", "space")
        await drawn(pilot)
        assert session.paused
        assert 5.0 <= session.position_s < tape.last_s
        assert "Go on" in screen_text(app)


async def test_a_replay_is_left_without_being_asked(fake_replay: Any, brew_app: Any) -> None:
    session = fake_replay()
    app = brew_app(session)
    async with pouring(app, session) as pilot:
        await pilot.press("escape")
        await pilot.pause()
        assert app.left_how is Leave.BACK


async def test_stopping_saves_and_stays(fake_brew: Any, brew_app: Any, frame: MakeFrame) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause()
        app.brew_screen.action_stop()
        assert session.asked == []
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        app.brew_screen.action_stop()
        await drawn(pilot)
        assert (session.asked, app.left_how, app.brew_screen.brewing) == (["stop"], None, False)


async def test_after_the_end_the_main_action_goes_to_the_review(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause()
        session.feed(frame(200.0, Word.DONE, 320.0, phase=Phase.DONE))
        session.stop()
        await drawn(pilot)
        await pilot.press("space")
        await pilot.pause()
        assert app.left_how is Leave.REVIEW
        assert "main" not in session.asked


async def test_only_a_brew_that_ended_well_goes_to_its_review_by_itself(
    fake_brew: Any, fake_replay: Any, brew_app: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    timed: list[Callable[[], None]] = []
    monkeypatch.setattr(BrewScreen, "set_timer", lambda _screen, _s, call: timed.append(call))
    failed = fake_brew()
    failed.fault = WorkError("there is no such port")
    for session in (failed, fake_replay()):
        app = brew_app(session)
        async with app.run_test() as pilot:
            session.stop()
            await drawn(pilot)
            assert (timed, app.left_how) == ([], None)
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        session.stop()
        await drawn(pilot)
        (review,) = timed
        # Not while something is being asked: then, it is tried again.
        await app.push_screen(QuestionScreen("Stop?"))
        review()
        assert (len(timed), app.left_how) == (2, None)
        await app.pop_screen()
        review()
        await pilot.pause()
        assert app.left_how is Leave.REVIEW


async def test_a_scale_that_cannot_be_used_is_said_in_words(
    fake_brew: Any, brew_app: Any, screen_text: Callable[[Any], str]
) -> None:
    session = fake_brew()
    session.fault = WorkError("there is no port /dev/ttyUSB7", "plug the scale in")
    app = brew_app(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await drawn(pilot)
        assert "! There is no port /dev/ttyUSB7; plug the scale in" in screen_text(app)
        assert app.brew_screen.error is session.fault
        await pilot.press("space")
        await pilot.pause()
        assert app.left_how is Leave.BACK
