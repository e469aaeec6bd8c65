"""A station shown whole: its tile, its curve, its figures."""

import re
from typing import Any

import pytest
from textual.pilot import Pilot

from pourcoach.sharing.curve import StationCurve
from pourcoach.tui.wall.wall_screen import WallScreen
from tests.tui.conftest import text_of
from tests.tui.made_frames import PLAN
from tests.tui.screen_app import ScreenApp
from tests.tui.settled import settled
from tests.tui.wall.test_wall import FakeBoard

BRAILLE = re.compile("[\u2801-\u28ff]")


def poured(until_s: int, *, planned: bool) -> StationCurve:
    curve = StationCurve()
    curve.plan = PLAN if planned else None
    for second in range(until_s):
        curve.add(float(second), 4.0 * second, -30.0)
    return curve


class Whole:
    """The wall with its second station whole."""

    def __init__(self, curve: StationCurve, size: tuple[int, int] = (100, 30)) -> None:
        self.board = FakeBoard()
        self.board.curves["2"] = curve
        self.screen = WallScreen(self.board, self.board)
        self.app = ScreenApp(self.screen)
        self.size = size

    async def text(self, *pressed: str) -> str:
        async with self.app.run_test(size=self.size) as pilot:
            await pilot.press("right", "right", "space", *pressed)
            return await self.now(pilot)

    async def now(self, pilot: Pilot[Any]) -> str:
        """Without waiting for the clock."""
        await settled(pilot)
        self.screen._draw()
        await settled(pilot)
        return text_of(self.app)


def chart(text: str) -> str:
    """The rows below the tile."""
    return "\n".join(text.splitlines()[11:-1])


@pytest.mark.parametrize("size", [(100, 30), (80, 24)])
async def test_a_station_whole_has_curve_and_figures(size: tuple[int, int]) -> None:
    text = await Whole(poured(20, planned=True), size).text()
    assert "2  Person 2" in text
    assert "1  Person 1" not in text
    assert "█" in chart(text)
    assert BRAILLE.search(chart(text))
    for label in ("FLOW g/s", "TIME", "OFF g", "0:00", "3:00"):
        assert label in chart(text)


async def test_the_plan_reaches_ahead_where_it_is_known_and_else_only_as_far_as_was_sent() -> None:
    known = chart(await Whole(poured(20, planned=True)).text())
    sent = chart(await Whole(poured(20, planned=False)).text())

    def reach(text: str) -> int:
        return max(match.end() for row in text.splitlines() for match in BRAILLE.finditer(row))

    assert reach(known) > 60
    assert 5 < reach(sent) < 35


async def test_it_grows_with_what_comes_and_begins_anew_with_another_brew() -> None:
    whole = Whole(poured(5, planned=True))
    async with whole.app.run_test(size=whole.size) as pilot:
        await pilot.press("right", "right", "space")
        before = chart(await whole.now(pilot)).count("█")
        curve = whole.board.curves["2"]
        for second in range(5, 40):
            curve.add(float(second), 4.0 * second, -3.0)
        grown = chart(await whole.now(pilot)).count("█")
        curve.add(None, 0.0, None)
        empty = chart(await whole.now(pilot))
    assert grown > before
    nothing = StationCurve()
    nothing.plan = PLAN
    assert empty == chart(await Whole(nothing).text())


async def test_all_again_has_no_curve() -> None:
    text = await Whole(poured(20, planned=True)).text("space")
    assert "1  Person 1" in text
    assert "FLOW" not in text


async def test_a_low_terminal_keeps_the_tile() -> None:
    text = await Whole(poured(20, planned=True), (80, 17)).text()
    assert "FLOW" not in text
    assert "2  Person 2" in text


async def test_a_station_that_nothing_is_known_of_has_an_empty_chart() -> None:
    whole = Whole(poured(3, planned=True))
    del whole.board.curves["2"]
    assert "FLOW g/s" in await whole.text()
