"""The app around the screens: what follows what, and how it ends."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.binding import Binding

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.advice import Word
from pourcoach.domain.errors import WorkError
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import Phase
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.brew.brew_screen import BrewScreen
from pourcoach.tui.brew.leave import Leave
from pourcoach.tui.dialogs.dialogs import QuestionScreen
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.forms.strength_screen import StrengthScreen
from pourcoach.tui.forms.water_screen import WaterScreen
from pourcoach.tui.renderables.glyphs import FULL
from pourcoach.tui.renderables.palette import DARK, PALETTES
from pourcoach.tui.review.review_screen import ReviewScreen
from pourcoach.tui.session_view import SessionView
from pourcoach.tui.start.start_screen import StartScreen
from tests.reports.made_brew import USUAL_RUBRIC
from tests.tui.fake_sessions import FakeBrew
from tests.tui.made_frames import make_frame


def app_showing(
    showing: SessionView, left: list[Leave] | None = None, rubric: Rubric = USUAL_RUBRIC
) -> PourcoachApp:
    async def story(app: PourcoachApp) -> None:
        how = await app.show(showing)
        if left is not None:
            left.append(how)

    return PourcoachApp(story, rubric, FULL, DARK)


def done_frame() -> Any:
    return make_frame(200.0, Word.DONE, 320.0, phase=Phase.DONE)


async def test_a_brew_is_followed_by_its_review_and_then_the_app_ends() -> None:
    brew, left = FakeBrew(), []  # type: FakeBrew, list[Leave]
    app = app_showing(SessionView(brew), left)
    async with app.run_test() as pilot:
        await pilot.pause()
        assert isinstance(app.screen, BrewScreen)
        brew.feed(make_frame(), done_frame())
        brew.stop()
        await pilot.pause()
        await pilot.press("space")
        await pilot.pause()
        assert isinstance(app.screen, ReviewScreen)
        await pilot.press("escape")
        await pilot.pause()
    assert left == [Leave.BACK]
    assert app.newest is not None
    assert app.newest.t_s == 200.0


async def test_brewing_again_takes_the_next_session() -> None:
    first, second = FakeBrew(), FakeBrew()
    app = app_showing(SessionView(first, again=lambda: SessionView(second)))
    async with app.run_test() as pilot:
        await pilot.pause()
        first.feed(done_frame())
        first.stop()
        await pilot.pause()
        await pilot.press("space", "b")
        await pilot.pause()
        assert isinstance(app.screen, BrewScreen)
        second.feed(make_frame(3.0))
        await pilot.press("q")
        await pilot.pause()
    assert app.newest is not None
    assert app.newest.t_s == 3.0
    assert second.asked == ["stop"]


async def test_a_replay_of_a_lost_tape_is_reported_after_the_app_has_ended(tmp_path: Path) -> None:
    brew = FakeBrew()
    app = app_showing(SessionView(brew, named=tmp_path / "gone.jsonl"))
    async with app.run_test() as pilot:
        await pilot.pause()
        brew.feed(done_frame())
        brew.stop()
        await pilot.pause()
        await pilot.press("space", "r")
        await pilot.pause()
    assert isinstance(app.trouble, WorkError)


async def test_a_replay_from_the_review_is_judged_by_the_apps_rubric() -> None:
    tape = Path("recordings/steady.jsonl")
    strict = replace(USUAL_RUBRIC, limits=FlagLimits(uneven_cv=0.01))
    brew = FakeBrew()
    app = app_showing(SessionView(brew, tape), rubric=strict)
    async with app.run_test() as pilot:
        await pilot.pause()
        brew.feed(done_frame())
        brew.stop()
        await pilot.pause()
        await pilot.press("space")
        await pilot.pause()
        await pilot.press("r")
        await pilot.pause()
        assert isinstance(app.screen, BrewScreen)
        replayed = app.showing.session.plan
        assert replayed is not None
        assert replayed.limits.uneven_cv == 0.01
        await pilot.press("q")
        await pilot.pause()


async def test_a_session_that_cannot_go_on_is_reported_after_the_app_has_ended() -> None:
    brew = FakeBrew()
    brew.fault = WorkError("there is no port /dev/ttyUSB0", "plug the scale in")
    app = app_showing(SessionView(brew))
    async with app.run_test() as pilot:
        await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
    assert app.trouble is brew.fault


@pytest.mark.parametrize("phase", [Phase.POURING, Phase.WAITING, Phase.DRAINING])
async def test_ctrl_c_stops_a_brew_and_again_leaves(phase: Phase) -> None:
    brew = FakeBrew()
    app = app_showing(SessionView(brew))
    async with app.run_test() as pilot:
        await pilot.pause()
        brew.feed(make_frame(20.0, Word.WAIT, 40.0, phase=phase))
        await pilot.press("ctrl+c")
        await pilot.pause()
        assert brew.asked == ["stop"]
        assert isinstance(app.screen, BrewScreen)
        await pilot.press("ctrl+c")
        await pilot.pause()
        assert not app.is_running
    assert app.newest is brew.newest


async def test_ctrl_c_stops_a_brew_from_under_a_note() -> None:
    brew = FakeBrew()
    app = app_showing(SessionView(brew))
    async with app.run_test() as pilot:
        await pilot.pause()
        brew.feed(make_frame(20.0, Word.POUR, 40.0, phase=Phase.POURING))
        await pilot.press("n", "a", "ctrl+c")
        await pilot.pause()
        assert brew.asked == ["stop"]


async def test_a_brew_stays_in_sight_under_a_question(screen_text: Callable[[Any], str]) -> None:
    brew = FakeBrew()
    app = app_showing(SessionView(brew))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        brew.feed(make_frame(20.0, Word.POUR, 40.0, phase=Phase.POURING))
        await pilot.press("q")
        await pilot.pause()
        assert "Stop this brew?" in screen_text(app)
        assert "on target" in screen_text(app)


async def test_a_brew_that_ends_under_the_help_waits_with_its_review_until_it_is_left() -> None:
    brew = FakeBrew()
    app = app_showing(SessionView(brew))
    async with app.run_test() as pilot:
        await pilot.pause()
        brew.feed(done_frame())
        await pilot.press("question_mark")
        await pilot.pause()
        brew_screen = app.screen_stack[-2]
        assert isinstance(brew_screen, BrewScreen)
        brew_screen._review()
        await pilot.pause()
        assert isinstance(app.screen, HelpScreen)
        await pilot.press("escape")
        await pilot.pause()
        assert app.screen is brew_screen


async def test_a_key_right_after_the_one_that_closes_the_help_is_the_brews() -> None:
    """Both in what is read from the terminal at once."""
    brew = FakeBrew()
    app = app_showing(SessionView(brew))
    async with app.run_test() as pilot:
        await pilot.pause()
        brew.feed(make_frame(20.0, Word.POUR, 40.0, phase=Phase.POURING))
        await pilot.press("question_mark")
        await pilot.pause()
        for key in "xq":
            app.post_message(events.Key(key, key))
        await pilot.pause()
        assert isinstance(app.screen, QuestionScreen)


async def test_ctrl_c_over_the_help_stops_the_brew() -> None:
    brew = FakeBrew()
    app = app_showing(SessionView(brew))
    async with app.run_test() as pilot:
        await pilot.pause()
        brew.feed(make_frame(20.0, Word.POUR, 40.0, phase=Phase.POURING))
        await pilot.press("question_mark", "ctrl+c")
        await pilot.pause()
        assert brew.asked == ["stop"]
        assert isinstance(app.screen, HelpScreen)


async def test_ctrl_q_asks_only_while_brewing() -> None:
    brew = FakeBrew()
    app = app_showing(SessionView(brew))
    async with app.run_test() as pilot:
        await pilot.pause()
        brew.feed(make_frame(20.0, Word.POUR, 40.0, phase=Phase.POURING))
        await pilot.press("ctrl+q")
        await pilot.pause()
        assert isinstance(app.screen, QuestionScreen)
        await pilot.press("n")
        brew.feed(done_frame())
        await pilot.press("ctrl+q")
        await pilot.pause()
        assert not app.is_running


async def test_a_fault_of_the_program_is_kept_to_be_raised() -> None:
    async def story(_app: PourcoachApp) -> None:
        raise ZeroDivisionError("made to fail")

    app = PourcoachApp(story, USUAL_RUBRIC, FULL, DARK)
    with pytest.raises(Exception, match="made to fail"):
        async with app.run_test() as pilot:
            await pilot.pause()
    assert isinstance(app.crash, ZeroDivisionError)
    assert app.return_code == 1


def test_every_key_of_every_screen_is_in_the_palette_with_words() -> None:
    """Digits pick a stage, of which there may be any number."""
    for screen in (BrewScreen, ReviewScreen, StartScreen, StrengthScreen, WaterScreen):
        for binding in screen.BINDINGS:
            assert isinstance(binding, Binding)
            described = binding.show and binding.description
            assert described or binding.key in "123456789", (screen, binding)


async def test_the_palette_does_what_the_keys_do() -> None:
    brew = FakeBrew()
    app = app_showing(SessionView(brew, again=lambda: SessionView(brew)))
    async with app.run_test() as pilot:
        await pilot.pause()
        commands = {each.title: each for each in app.get_system_commands(app.screen)}
        assert "Begin again" in commands
        assert "5 s back" not in commands
        assert commands["Mark this moment"].help == "Key m"
        await commands["Mark this moment"].callback()  # type: ignore[misc]
        await commands["Begin, finish, pause"].callback()  # type: ignore[misc]
        assert brew.asked == ["mark", "main"]


async def test_the_palette_has_only_our_own_themes() -> None:
    app = app_showing(SessionView(FakeBrew()))
    async with app.run_test() as pilot:
        await pilot.pause()
        titles = [command.title for command in app.get_system_commands(app.screen)]
        colours = [title for title in titles if title.startswith("Colours")]
        assert colours == [f"Colours: {each.label}" for each in PALETTES.values()]
        assert titles.count("Quit") == 1
        commands = {
            command.title: command.callback for command in app.get_system_commands(app.screen)
        }
        commands["Colours: Light"]()
        await pilot.pause()
        assert app.theme == "light"
