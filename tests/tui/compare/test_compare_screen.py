"""The comparison as text, and driven by keys and the mouse."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual.app import App

from pourcoach.domain.errors import PourcoachError
from pourcoach.recordings.fold import JudgedTape
from pourcoach.recordings.tape import TapeHeader
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.brew.curve import BrewCurve, CurvePoint
from pourcoach.reports.comparison.comparison import MOST, Comparison, compare
from pourcoach.tui.compare.compare_flow import start_comparing
from pourcoach.tui.compare.compare_screen import AfterCompare, CompareScreen
from pourcoach.tui.dialogs.dialogs import PickScreen
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.renderables.glyphs import ASCII, FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.themes import use_palette, variables
from tests.reports.hostile import hostile_recording
from tests.reports.made_brew import PLAN, STEADY, USUAL_RUBRIC, last_frame
from tests.tui.as_text import Golden, Pressed, ScreenText, Size, as_text
from tests.tui.settled import settled


def report(name: str, late_s: float = 0.0, over: float = 1.0) -> BrewReport:
    """A hand so late and so much over."""
    stages = tuple(
        replace(
            stage,
            pours=tuple(
                replace(
                    pour,
                    start_s=pour.start_s + (late_s if place else 0.0),
                    start_g=pour.start_g * over,
                    end_g=(pour.end_g or 0.0) * over,
                    end_s=(pour.end_s or 0.0) + late_s,
                    mass_error_g=0.1,
                    start_error_s=0.05,
                )
                for pour in stage.pours
            ),
        )
        for place, stage in enumerate(STEADY)
    )
    curve = BrewCurve(
        tuple(
            CurvePoint(t / 2, over * PLAN.target_g(max(0.0, t / 2 - late_s)), 5.0)
            for t in range(370)
        )
    )
    header = TapeHeader(plan=PLAN, by="Ada", recorded_at="2026-01-15T09:30:00+00:00")
    tape = JudgedTape(header, last_frame(stages), (), None)
    return BrewReport(f"{name}.jsonl", tape, None, curve)


TWO = compare([report("first"), report("second", 6.0, 1.03)])
SIX = compare([report(f"brew {place}", 3.0 * place, 1 + 0.02 * place) for place in range(6)])


class CompareApp(App[Any]):
    """As little as a comparison needs."""

    def __init__(
        self, comparison: Comparison = TWO, glyphs: Glyphs = FULL, *, can_add: bool = True
    ) -> None:
        super().__init__()
        self.compared = CompareScreen(comparison, glyphs, can_add=can_add)
        self.after: AfterCompare | None = None

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variables(DARK)

    def on_mount(self) -> None:
        use_palette(self, DARK)
        self.push_screen(self.compared, self._left)

    def _left(self, after: AfterCompare | None) -> None:
        self.after = after


@pytest.mark.parametrize(
    ("name", "size", "glyphs", "comparison", "keys"),
    [
        ("compare-100x30", (100, 30), FULL, TWO, ()),
        ("compare-stage-80x24", (80, 24), FULL, TWO, ("2",)),
        ("compare-six-80x24-ascii", (80, 24), ASCII, SIX, ("right", "right", "space")),
        ("compare-six-100x30", (100, 30), FULL, SIX, ("left",)),
    ],
)
async def test_as_text(
    name: str, size: Size, glyphs: Glyphs, comparison: Comparison, keys: Pressed, golden: Golden
) -> None:
    golden(name, await as_text(lambda: CompareApp(comparison, glyphs), size, keys))


async def test_space_and_a_click_go_through_the_stages(screen_text: ScreenText) -> None:
    app = CompareApp()
    async with app.run_test(size=(100, 30)) as pilot:
        titles = []
        for act in ("space", "click", "enter", "space", "3", "9", "0"):
            if act == "click":
                await pilot.click("#overlay", offset=(40, 5))
            else:
                await pilot.press(act)
            await settled(pilot)
            shown = screen_text(app)
            names = ("The whole brew", "1. bloom", "2. pour 1", "3. pour 2")
            titles.append(next(name for name in names if f"  {name}\n" in shown))
    assert titles == [
        "1. bloom", "2. pour 1", "3. pour 2", "The whole brew", "3. pour 2", "3. pour 2",
        "The whole brew",
    ]  # fmt: skip


async def test_a_click_on_a_brew_sets_it_against_the_first(screen_text: ScreenText) -> None:
    app = CompareApp(SIX)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "B - A" in screen_text(app)
        await pilot.click("#brews", offset=(5, 3))
        await settled(pilot)
        assert "D - A" in screen_text(app)


async def test_all_figures_are_a_page_and_help_is_there() -> None:
    app = CompareApp()
    async with app.run_test(size=(100, 30)) as pilot:
        for key in ("d", "question_mark"):
            await pilot.press(key)
            await settled(pilot)
            assert isinstance(app.screen, HelpScreen)
            await pilot.press("x")
            await settled(pilot)
        assert app.screen is app.compared


@pytest.mark.parametrize(
    ("comparison", "key", "after"),
    [
        (TWO, "escape", AfterCompare.BACK),
        (TWO, "a", AfterCompare.ADD),
        (SIX, "a", None),
    ],
)
async def test_what_is_wanted_next(
    comparison: Comparison, key: str, after: AfterCompare | None
) -> None:
    """A seventh brew has no place."""
    assert len(SIX.brews) == MOST
    app = CompareApp(comparison)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(key)
        await settled(pilot)
        assert app.after is after


class StoryApp(App[Any]):
    """Starts comparing from a screen below."""

    def __init__(self, tape: Path) -> None:
        super().__init__()
        self.tape = tape
        self.failed: list[PourcoachError] = []

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variables(DARK)

    def on_mount(self) -> None:
        use_palette(self, DARK)
        start_comparing(self, self.tape, USUAL_RUBRIC, FULL, self.failed.append)


@pytest.fixture
def tapes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three kept recordings, and none that come with the program."""
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))
    monkeypatch.setattr("pourcoach.tui.compare.compare_flow.shipped_recordings", dict)
    folder = tmp_path / "home" / "tapes"
    folder.mkdir(parents=True)
    whole = hostile_recording(tmp_path, "bloom").read_text()
    for name in ("one", "two", "three"):
        (folder / f"{name}.jsonl").write_text(whole)
    return folder


async def test_which_brew_is_asked_and_one_more_can_be_added(tapes: Path) -> None:
    app = StoryApp(tapes / "one.jsonl")
    async with app.run_test(size=(80, 24)) as pilot:
        await _until(pilot, lambda: isinstance(app.screen, PickScreen))
        await pilot.press("1")
        await _until(pilot, lambda: isinstance(app.screen, CompareScreen))
        await pilot.press("a")
        await _until(pilot, lambda: isinstance(app.screen, PickScreen))
        await pilot.press("1")
        await _until(pilot, lambda: isinstance(app.screen, CompareScreen))
        await _until(pilot, lambda: app.screen.query_one("#brews").size.height == 3)
        await settled(pilot)
        await pilot.press("escape")
        await _until(pilot, lambda: len(app.screen_stack) == 1)
    assert app.failed == []


async def test_nothing_to_compare_with_is_said(tapes: Path) -> None:
    for name in ("two", "three"):
        (tapes / f"{name}.jsonl").unlink()
    app = StoryApp(tapes / "one.jsonl")
    async with app.run_test(size=(80, 24)) as pilot:
        await _until(pilot, lambda: bool(app.failed))
    assert str(app.failed[0]) == "there is no other recording to compare with"


async def _until(pilot: Any, holds: Callable[[], bool]) -> None:
    for _ in range(500):
        if holds():
            return
        await pilot.pause(0.02)
    raise AssertionError("it did not come to that")
