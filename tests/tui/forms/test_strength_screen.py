"""Strength and extraction as typed."""

from collections.abc import Callable
from typing import Any

import pytest

from pourcoach.brewing.strength.measured_brew import ExtractionMethod, MeasuredBrew
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.tui.forms.strength_screen import StrengthScreen, measured_brew
from pourcoach.tui.renderables.glyphs import ASCII, FULL, Glyphs
from tests.tui.as_text import Golden, Pressed, Size, as_text
from tests.tui.screen_app import ScreenApp
from tests.tui.settled import settled

READING = (*"1.34", "tab", *"281")


@pytest.mark.parametrize(
    ("name", "size", "glyphs", "keys"),
    [
        ("strength-100x30", (100, 30), FULL, READING),
        ("strength-why-80x24-ascii", (80, 24), ASCII, (*READING, "f3")),
        ("strength-60x20", (60, 20), FULL, ()),
        ("strength-40x10", (40, 10), FULL, READING),
        ("strength-10x3", (10, 3), FULL, ()),
    ],
)
async def test_as_text(
    name: str, size: Size, glyphs: Glyphs, keys: Pressed, golden: Golden
) -> None:
    def app() -> ScreenApp:
        screen = StrengthScreen(glyphs, dose_g=20.0, water_g=320.0)
        screen.show_earlier([(20.5, 1.22)])
        return ScreenApp(screen)

    golden(name, await as_text(app, size, keys))


def test_too_little_is_no_brew_yet() -> None:
    assert measured_brew({"tds": "1.3", "dose": "20"}) is None


def test_the_server_shows_more_than_the_water() -> None:
    given = {"tds": "1,3", "dose": "20", "water": "320"}
    brew = measured_brew(given)
    assert brew is not None
    assert (brew.strength_pct.value, brew.method) == (1.3, ExtractionMethod.DRIP_CLASSIC)
    brew = measured_brew({**given, "beverage": "280"})
    assert brew is not None
    assert brew.method is ExtractionMethod.BEVERAGE


def test_what_is_no_number_is_named() -> None:
    with pytest.raises(UsageError, match="the dose: 'lots' is no number"):
        measured_brew({"dose": "lots"})


async def test_water_given_for_the_coffee_is_found_out(screen_text: Callable[[Any], str]) -> None:
    app = ScreenApp(StrengthScreen(dose_g=20.0, water_g=320.0))
    async with app.run_test(size=(140, 30)) as pilot:
        await pilot.press(*"1.34", "tab", *"320")
        await settled(pilot)
        assert "beverage" in screen_text(app)
        assert "extraction " not in screen_text(app)


async def test_a_reading_is_kept(screen_text: Callable[[Any], str]) -> None:
    kept: list[MeasuredBrew] = []
    app = ScreenApp(StrengthScreen(dose_g=20.0, keep=kept.append))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("f2")
        await settled(pilot)
        assert "There is no reading yet to keep." in screen_text(app)
        await pilot.press(*READING, "f2")
        await settled(pilot)
        assert "The reading is kept with the brew." in screen_text(app)
    assert [brew.strength_pct.value for brew in kept] == [1.34]


async def test_an_impossible_reading_is_not_kept(screen_text: Callable[[Any], str]) -> None:
    kept: list[MeasuredBrew] = []
    app = ScreenApp(StrengthScreen(dose_g=20.0, keep=kept.append))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press(*"88", "tab", *"281", "f2")
        await settled(pilot)
        assert "Not kept: a strength of 88 %" in screen_text(app)
    assert kept == []


async def test_what_cannot_be_kept_is_reported(screen_text: Callable[[Any], str]) -> None:
    def keep(_brew: MeasuredBrew) -> None:
        raise WorkError("the disk is full")

    app = ScreenApp(StrengthScreen(dose_g=20.0, keep=keep))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press(*READING, "f2")
        await settled(pilot)
        assert "Not kept: the disk is full" in screen_text(app)


async def test_what_is_typed_at_once_after_tab_goes_to_the_next_field() -> None:
    screen = StrengthScreen()
    app = ScreenApp(screen)
    async with app.run_test(size=(100, 30)) as pilot:
        for key in (*"12", "tab", *"25"):
            app.simulate_key(key)
        await settled(pilot)
        await settled(pilot)
        assert screen.form.answers() == {"tds": "12", "beverage": "25"}


async def test_enter_goes_on_to_the_next_field_and_escape_leaves() -> None:
    screen = StrengthScreen()
    app = ScreenApp(screen)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press(*"1.2", "enter", *"250")
        assert screen.form.answers() == {"tds": "1.2", "beverage": "250"}
        await pilot.press("up", *"5")
        assert screen.form.answers() == {"tds": "5", "beverage": "250"}
        await pilot.press("escape")
        await settled(pilot)
        assert app.left
