"""The start screen as text, and driven by keys."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pourcoach.domain.plan import Arrangement
from pourcoach.tui.renderables.glyphs import ASCII, FULL, Glyphs
from pourcoach.tui.start.picked import StartAction, StartChoice
from pourcoach.tui.start.previews import LOOKED_AT_S
from pourcoach.tui.start.start_offers import RecordingOffer, ScaleOffer, StartOffers
from pourcoach.tui.start.title_panel import TitlePanel
from tests.tui.as_text import Golden, Pressed, Size, as_text
from tests.tui.made_frames import PLAN
from tests.tui.settled import settled
from tests.tui.start.start_app import LARGE, NOTHING, OFFERS, StartApp, answer


@pytest.mark.parametrize(
    ("name", "size", "glyphs", "keys"),
    [
        ("start-100x30", (100, 30), FULL, ()),
        ("start-plan-80x24", (80, 24), FULL, ("tab", "down")),
        ("start-80x24-ascii", (80, 24), ASCII, ()),
        ("start-recording-60x20", (60, 20), FULL, ("left",)),
        ("start-recording-100x30", (100, 30), FULL, ("left", "down")),
        ("start-recording-80x24", (80, 24), FULL, ("left",)),
        ("start-40x10", (40, 10), FULL, ()),
        ("start-39x9", (39, 9), FULL, ()),
        ("start-10x3", (10, 3), FULL, ()),
    ],
)
async def test_as_text(
    name: str, size: Size, glyphs: Glyphs, keys: Pressed, golden: Golden
) -> None:
    golden(name, await as_text(lambda: StartApp(glyphs=glyphs, by="Ada"), size, keys, looked_at))


async def looked_at(pilot: Any) -> None:
    """Until what is picked was looked at."""
    await pilot.pause(2 * LOOKED_AT_S)
    await settled(pilot)


async def test_enter_brews_with_what_is_likeliest() -> None:
    expected = StartChoice(
        StartAction.BREW, "serial:/dev/ttyUSB0", PLAN, Path("monday.jsonl"), None
    )
    assert await answer("enter") == expected


async def test_each_list_keeps_its_pick() -> None:
    start = await answer("down", "tab", "down", "space")
    assert start is not None
    assert (start.action, start.scale, start.plan) == (StartAction.BREW, "sim:steady", LARGE)


async def test_enter_on_a_recording_replays_it() -> None:
    start = await answer("left", "down", "enter")
    assert start is not None
    assert (start.action, start.recording) == (StartAction.REPLAY, Path("tuesday.jsonl"))


async def test_r_replays_from_anywhere_and_q_quits() -> None:
    for key, action in (("r", StartAction.REPLAY), ("q", StartAction.QUIT)):
        start = await answer(key)
        assert start is not None
        assert start.action is action


async def test_escape_does_not_throw_anybody_out() -> None:
    assert await answer("escape", "escape") is None


async def test_without_recordings_replay_says_so(screen_text: Callable[[Any], str]) -> None:
    app = StartApp(NOTHING)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("r")
        await pilot.pause()
        assert "There is no recording yet" in screen_text(app)
        assert app.start is None


@pytest.mark.parametrize(
    ("keys", "by"), [(("enter",), "b"), (("ctrl+u", "enter"), None), (("escape",), "Ada")]
)
async def test_who_brews_is_asked(keys: tuple[str, ...], by: str | None) -> None:
    start = await answer("y", "b", *keys, "enter", app=StartApp(by="Ada"))
    assert start is not None
    assert start.by == by


async def test_the_server_alone_can_stand_on_the_scale(screen_text: Callable[[Any], str]) -> None:
    app = StartApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("o")
        await pilot.pause()
        assert "the server alone on it" in screen_text(app)
        await pilot.press("enter")
        await pilot.pause()
    assert app.start is not None
    assert app.start.arrangement is Arrangement.SERVER_ON_SCALE


async def test_what_was_picked_before_is_picked_again() -> None:
    before = StartChoice(StartAction.BREW, "sim:steady", LARGE, None, "Ada")
    start = await answer("enter", app=StartApp(before=before))
    assert start is not None
    assert (start.scale, start.plan, start.by) == ("sim:steady", LARGE, "Ada")


async def test_a_scale_of_before_that_is_gone_is_still_offered() -> None:
    before = StartChoice(StartAction.BREW, "serial:/dev/ttyUSB7", LARGE, None, None)
    start = await answer("enter", app=StartApp(before=before))
    assert start is not None
    assert start.scale == "serial:/dev/ttyUSB7"


async def test_looking_again_finds_what_was_plugged_in(screen_text: Callable[[Any], str]) -> None:
    app = StartApp(NOTHING)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("down")
        app.offers = StartOffers(
            (ScaleOffer("serial:/dev/ttyUSB1", ""), *OFFERS.scales), OFFERS.plans, ()
        )
        await pilot.press("l")
        await settled(pilot)
        assert "Looked again: 2 serial ports, 0 recordings." in screen_text(app)
        assert "serial:/dev/ttyUSB1" in screen_text(app)
        await pilot.press("enter")
        await pilot.pause()
    assert app.start is not None
    assert app.start.scale == "sim:steady"


async def test_a_click_on_the_head_brews() -> None:
    app = StartApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.click(TitlePanel)
        await pilot.pause()
    assert app.start is not None
    assert app.start.action is StartAction.BREW


async def test_what_went_wrong_before_is_reported(screen_text: Callable[[Any], str]) -> None:
    app = StartApp(notice="There is no port /dev/ttyUSB0; plug it in.")
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        assert "There is no port /dev/ttyUSB0" in screen_text(app)


async def test_any_size_is_survived(screen_text: Callable[[Any], str]) -> None:
    app = StartApp()
    async with app.run_test(size=(100, 30)) as pilot:
        for width, height in ((10, 3), (200, 60), (40, 60), (120, 8), (60, 20), (1, 1), (80, 24)):
            await pilot.resize_terminal(width, height)
            await pilot.press("tab", "pagedown", "pageup")
            await pilot.pause()
        assert "RECORDING" in screen_text(app)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12)])
async def test_an_error_is_shown_whole(
    size: tuple[int, int], screen_text: Callable[[Any], str]
) -> None:
    notice = (
        "cannot open serial port /dev/ttyUSB0: permission denied; add yourself to the group that"
        " owns it, then log in anew"
    )
    app = StartApp(notice=notice)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        text = " ".join(screen_text(app).replace("? Help", "").split())
        assert notice in text


async def test_only_a_recording_that_is_looked_at_is_read_and_only_once(
    screen_text: Callable[[Any], str],
) -> None:
    app = StartApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("left", "down")
        await pilot.pause(2 * LOOKED_AT_S)
        await settled(pilot)
        assert app.read == [Path("tuesday.jsonl")]
        shown = screen_text(app)
        assert "In the last pour the flow jumps. 288 g of 320 g" in shown
        await pilot.press("up", "down", "up")
        await pilot.pause(2 * LOOKED_AT_S)
        await settled(pilot)
        assert app.read == [Path("tuesday.jsonl"), Path("monday.jsonl")]
        assert "Recorded by Ada 2026-01-12 09:30." in screen_text(app)


async def test_what_is_wrong_with_a_recording_stands_in_its_preview(
    screen_text: Callable[[Any], str],
) -> None:
    offers = replace(OFFERS, recordings=(RecordingOffer(Path("broken.jsonl"), "broken"),))
    app = StartApp(offers)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("left")
        await pilot.pause(2 * LOOKED_AT_S)
        await settled(pilot)
        assert "broken.jsonl is no recording" in screen_text(app)


async def test_focus_returns_where_it_was() -> None:
    """After a replay to its recording, wherever that stands in the list by now."""
    before = StartChoice(
        StartAction.REPLAY, "sim:steady", LARGE, Path("tuesday.jsonl"), None, focused=2
    )
    app = StartApp(before=before)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
    assert app.start == before


async def test_a_recording_of_before_that_is_not_on_offer_is_put_on_top() -> None:
    stall = Path(__file__).parents[3] / "recordings" / "stall.jsonl"
    before = StartChoice(StartAction.REPLAY, "sim:steady", LARGE, stall, None, focused=2)
    start = await answer("enter", app=StartApp(before=before))
    assert start is not None
    assert start.recording == stall
