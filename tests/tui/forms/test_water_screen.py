"""A brew water as typed."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pourcoach.brewing.water.water import Water, WaterSource
from pourcoach.domain.errors import UsageError
from pourcoach.library.water_shelf import save_water, saved_waters
from pourcoach.tui.forms.water_screen import WaterScreen, answers_of, water_from
from tests.tui.as_text import Golden, Pressed, Size, as_text
from tests.tui.screen_app import ScreenApp
from tests.tui.settled import settled

MAINS = (*"mains", "tab", "tab", *"7.4", "tab", *"12dH", "tab", "tab", "tab", *"9dH")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))


@pytest.mark.parametrize(
    ("name", "size", "keys"),
    [
        ("water-100x30", (100, 30), MAINS),
        ("water-well-80x24", (80, 24), (*"well",)),
        ("water-60x20", (60, 20), ()),
        ("water-40x10", (40, 10), (*"mains",)),
        ("water-10x3", (10, 3), ()),
    ],
)
async def test_as_text(name: str, size: Size, keys: Pressed, golden: Golden) -> None:
    golden(name, await as_text(lambda: ScreenApp(WaterScreen()), size, keys))


def test_answers_are_read_in_their_units() -> None:
    given = {"source": "Mains", "ph": "7,2", "hardness": "10 fH", "alkalinity": "40"}
    assert water_from(given) == Water(
        source=WaterSource.MAINS, ph=7.2, hardness_mgl=100.0, alkalinity_mgl=40.0
    )


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"source": "sea"}, "the source is 'sea'; use mains, bottled"),
        ({"tested": "maybe"}, "whether it is tested is 'maybe'; say yes or no"),
        ({"ph": "sour"}, "the pH: 'sour' is no number"),
        ({"hardness": "hard"}, "hardness"),
    ],
)
def test_what_cannot_be_read_is_named(given: dict[str, str], said: str) -> None:
    with pytest.raises(UsageError, match=said):
        water_from(given)


@pytest.mark.parametrize(
    "water",
    [
        Water(),
        Water(source=WaterSource.WELL, tested=True, ph=7.2, hardness_mgl=83.5, sodium_mgl=3.0),
    ],
)
def test_a_water_can_be_typed_as_it_is(water: Water) -> None:
    assert water_from(answers_of(water)) == water


async def test_an_untested_well_says_first_not_to_brew_with_it(
    screen_text: Callable[[Any], str],
) -> None:
    app = ScreenApp(WaterScreen())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"well")
        await settled(pilot)
        shown = screen_text(app)
    assert shown.index("DO NOT BREW WITH IT") < shown.index("not judged")


async def test_a_water_is_saved_and_named_as_the_brews(screen_text: Callable[[Any], str]) -> None:
    named: list[str] = []
    app = ScreenApp(WaterScreen(use=named.append))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press(*"mains", "f2", *"tap", "enter")
        await settled(pilot)
        assert "The water is saved as tap, and named as this brew's." in screen_text(app)
    assert saved_waters() == {"tap": Water(source=WaterSource.MAINS)}
    assert named == ["tap"]


async def test_a_saved_water_fills_the_fields() -> None:
    water = Water(source=WaterSource.BOTTLED, ph=7.0, hardness_mgl=60.0)
    save_water("shop", water)
    screen = WaterScreen()
    app = ScreenApp(screen)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("f4", "1")
        await settled(pilot)
        assert water_from(screen.form.answers()) == water


async def test_without_saved_waters_it_says_how_to_save_one(
    screen_text: Callable[[Any], str],
) -> None:
    app = ScreenApp(WaterScreen())
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("f4")
        await settled(pilot)
        assert "No water is saved yet: F2 saves one." in screen_text(app)
