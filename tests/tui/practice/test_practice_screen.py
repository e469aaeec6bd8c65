"""One pour of a drill on the screen: what is seen before, during and after it."""

import asyncio
from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from pourcoach.domain.inputs import Input, Reading
from pourcoach.practice.block.attempt import Attempt, Glance, OnGlance, Step
from pourcoach.practice.schedule import Part, Place
from pourcoach.simulation.kettle import Kettle, KettleModel
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.practice.practice_screen import PracticeScreen
from pourcoach.tui.renderables.glyphs import ASCII, FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.widgets.kettle_panel import TRAVEL, KettlePanel
from tests.practice.driven import WITH_RESULT, driven, short_readings, short_task
from tests.reports.made_brew import USUAL_RUBRIC
from tests.tui.screen_app import ScreenApp

NEEDS = ("Needed: an empty server and plain water.",)


class FakePractice:
    """Stands at one Glance of a pour."""

    def __init__(self, attempt: Attempt, glance: Glance | None) -> None:
        self.attempt = attempt
        self.newest = glance
        self.kettle: Kettle | None = None
        self.notice: str | None = None
        self.said: list[float] = []
        self.pressed: list[str] = []
        self.saved = False
        self._ended = asyncio.Event()

    @property
    def step(self) -> Step:
        return Step.READY if self.newest is None else self.newest.step

    def now(self) -> float:
        return 0.0 if self.newest is None else self.newest.t_s

    async def run(self, on_glance: OnGlance) -> None:
        if self.newest is not None:
            on_glance(self.newest)
        await self._ended.wait()
        self.saved = True

    def stop(self) -> None:
        self._ended.set()

    def main(self) -> None:
        self.pressed.append("main")

    def tare(self) -> None:
        self.pressed.append("tare")

    def estimate(self, value: float) -> None:
        self.said.append(value)


def _at(
    step: Step, place: Place = WITH_RESULT, hand: str = "overshooting", **changed: Any
) -> FakePractice:
    """In the middle of that step."""
    assignment, plan = short_task(place)
    attempt, seen = driven(replace(assignment, **changed), plan, short_readings(hand))
    found = [glance for _, glance in seen if glance.step is step]
    return FakePractice(attempt, found[len(found) // 2])


def _screen(fake: FakePractice, glyphs: Glyphs = FULL) -> PracticeScreen:
    return PracticeScreen(fake, NEEDS, glyphs)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "step", "hand", "size", "glyphs"),
    [
        ("practice-ready-100x30", Step.READY, "steady", (100, 30), FULL),
        ("practice-pouring-80x24", Step.POURING, "steady", (80, 24), FULL),
        ("practice-asking-80x24-ascii", Step.ASKING, "steady", (80, 24), ASCII),
        ("practice-in-band-100x30", Step.SHOWN, "steady", (100, 30), FULL),
        ("practice-out-100x30", Step.SHOWN, "hasty", (100, 30), FULL),
        ("practice-kept-60x20", Step.OVER, "steady", (60, 20), FULL),
        ("practice-tiny-30x8", Step.POURING, "steady", (30, 8), FULL),
    ],
)
async def test_as_text(
    name: str,
    step: Step,
    hand: str,
    size: tuple[int, int],
    glyphs: Glyphs,
    screen_text: Callable[[Any], str],
    golden: Callable[[str, str], None],
) -> None:
    place = replace(WITH_RESULT, result=step is not Step.OVER)
    app = ScreenApp(_screen(_at(step, place, hand), glyphs))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        golden(name, screen_text(app))


async def test_a_drill_with_eyes_off_leaves_the_screen_dark(
    screen_text: Callable[[Any], str],
) -> None:
    app = ScreenApp(_screen(_at(Step.POURING, dark=True)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        *above, keys = screen_text(app).splitlines()
        assert "".join(above).strip() == ""
        assert "Done" in keys


async def test_live_help_is_the_brew_board(screen_text: Callable[[Any], str]) -> None:
    app = ScreenApp(_screen(_at(Step.POURING, replace(WITH_RESULT, live_help=True))))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        assert "FLOW g/s" in screen_text(app)


async def test_a_full_server_is_said_even_on_a_dark_screen(
    screen_text: Callable[[Any], str],
) -> None:
    fake = _at(Step.POURING, dark=True)
    assert fake.newest is not None
    fake.newest = replace(fake.newest, server_full=True)
    app = ScreenApp(_screen(fake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Stop: the server is nearly full." in screen_text(app)


async def test_an_estimate_is_typed_and_said_with_enter() -> None:
    fake = _at(Step.ASKING)
    app = ScreenApp(_screen(fake))
    async with app.run_test() as pilot:
        await pilot.press("enter")
        await pilot.press("4", "3", "backspace", "2", "comma", "5", "enter")
        assert fake.said == [42.5]
        assert fake.pressed == []


async def test_space_goes_on_once_the_result_is_seen() -> None:
    app = ScreenApp(_screen(_at(Step.SHOWN)))
    async with app.run_test() as pilot:
        await pilot.press("space")
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        assert app.left


async def test_keys_of_the_kettle_tilt_it_and_let_it_go() -> None:
    fake = _at(Step.POURING)
    fake.kettle = Kettle(KettleModel(lag_s=0.0), Random(1))
    app = ScreenApp(_screen(fake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("up", "up", "up")
        fake.kettle.step()
        assert fake.kettle.tilt == pytest.approx(0.12)
        await pilot.press("down", "0")
        fake.kettle.step()
        assert fake.kettle.tilt == 0.0


async def test_the_mouse_tilts_while_it_is_held_and_release_stops() -> None:
    fake = _at(Step.POURING)
    fake.kettle = Kettle(KettleModel(lag_s=0.0), Random(1))
    app = ScreenApp(_screen(fake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        panel = pilot.app.screen.query_one(KettlePanel)
        await pilot.mouse_down(panel, offset=(5, 1))
        await pilot.hover(panel, offset=(5 + TRAVEL // 2, 1))
        fake.kettle.step()
        assert fake.kettle.tilt == pytest.approx(0.5)
        await pilot.mouse_up(panel, offset=(5 + TRAVEL // 2, 1))
        fake.kettle.step()
        assert fake.kettle.tilt == 0.0


async def test_without_a_kettle_its_keys_do_nothing() -> None:
    fake = _at(Step.POURING)
    app = ScreenApp(_screen(fake))
    async with app.run_test() as pilot:
        await pilot.press("up", "f", "0")
        assert fake.pressed == []


@pytest.mark.parametrize("part", [Part.BASELINE, Part.TEST, Part.WEEK_TEST, Part.TRANSFER_TEST])
def test_no_figure_of_a_test_is_in_any_view(part: Part) -> None:
    """From the first water to the end the view holds neither a Frame nor a number of the pour."""
    assignment, plan = short_task(Place(part))
    inputs: list[Input] = [item for item in short_readings() if isinstance(item, Reading)]
    attempt, seen = driven(assignment, plan, inputs)
    assert attempt.result is not None
    for _, glance in seen:
        if glance.step in (Step.READY,):
            continue
        screen = _screen(FakePractice(attempt, glance))
        view = screen.view
        assert view.frame is None
        figure = view.head.figure
        assert glance.step in (Step.POURING, Step.ASKING) or figure == ""
        assert view.head.word in ("POUR", "GUESS?", "KEPT")


async def test_leaving_the_whole_program_saves_the_pour_first() -> None:
    fake = _at(Step.POURING)

    async def story(app: PourcoachApp) -> None:
        await app.push_screen_wait(_screen(fake))

    app = PourcoachApp(story, USUAL_RUBRIC, FULL, DARK)
    async with app.run_test() as pilot:
        await pilot.pause()
        await pilot.press("ctrl+c")
        await pilot.pause()
    assert fake.saved
