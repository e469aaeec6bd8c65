"""The sessions screen as text, and driven by keys and mouse."""

from collections.abc import Callable
from contextlib import AsyncExitStack
from threading import Event
from typing import Any

import pytest

from pourcoach.domain.afterwards import (
    CupNote,
    Tag,
)
from pourcoach.domain.errors import WorkError
from pourcoach.tui.renderables.glyphs import ASCII, FULL, Glyphs
from pourcoach.tui.sessions.actions import BrewActions
from pourcoach.tui.sessions.brew_list import BrewList
from pourcoach.tui.sessions.opening import LOOKED_AT_S
from pourcoach.tui.sessions.sessions_screen import SessionsScreen
from tests.tui.as_text import Golden, Pressed, Size, as_text
from tests.tui.screen_app import ScreenApp
from tests.tui.sessions.made_shelf import BREWS, FakeShelf
from tests.tui.settled import settled


class Asked:
    """Which other screens were asked for."""

    def __init__(self) -> None:
        self.done: list[tuple[str, list[str]]] = []
        self.actions = BrewActions(
            lambda tape, failed: self.done.append(("review", [tape.name])),
            lambda tape, failed: self.done.append(("replay", [tape.name])),
            lambda tapes, failed: self.done.append(("compare", [tape.name for tape in tapes])),
        )


def made(shelf: FakeShelf | None = None, glyphs: Glyphs = FULL) -> tuple[ScreenApp, Asked]:
    asked = Asked()
    return ScreenApp(SessionsScreen(shelf or FakeShelf(), asked.actions, glyphs)), asked


async def looked_at(pilot: Any) -> None:
    """Until what is picked was opened."""
    await settled(pilot)
    await pilot.pause(2 * LOOKED_AT_S)
    await settled(pilot)


@pytest.mark.parametrize(
    ("name", "size", "glyphs", "keys"),
    [
        ("sessions-100x30", (100, 30), FULL, ()),
        ("sessions-marked-80x24", (80, 24), FULL, ("space", "space", "up")),
        ("sessions-80x24-ascii", (80, 24), ASCII, ("end",)),
        ("sessions-60x20", (60, 20), FULL, ()),
        ("sessions-40x10", (40, 10), FULL, ()),
        ("sessions-39x9", (39, 9), FULL, ()),
    ],
)
async def test_as_text(
    name: str, size: Size, glyphs: Glyphs, keys: Pressed, golden: Golden
) -> None:
    golden(name, await as_text(lambda: made(glyphs=glyphs)[0], size, keys, looked_at))


async def test_keys_lead_to_review_replay_and_comparison(
    screen_text: Callable[[Any], str],
) -> None:
    app, asked = made()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("down", "enter", "r", "c")
        assert "Mark two to six brews" in screen_text(app)
        await pilot.press("space", "up", "up", "space", "c")
        # In the order of the list; the brew whose recording is gone cannot be looked at.
        await pilot.press("end", "home", "down", "down", "down", "enter")
        assert "Its recording is gone" in screen_text(app)
    assert asked.done == [
        ("review", ["2.jsonl"]),
        ("replay", ["2.jsonl"]),
        ("compare", ["1.jsonl", "2.jsonl"]),
    ]


async def test_a_search_narrows_and_escape_ends_it(screen_text: Callable[[Any], str]) -> None:
    shelf = FakeShelf()
    app, _ = made(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("slash", *"Ben", "enter")
        await settled(pilot)
        assert "1 brew with 'Ben'" in screen_text(app)
        await pilot.press("escape")
        await settled(pilot)
        assert "24 brews" in screen_text(app)
        await pilot.press("escape")
        assert app.left
    assert "Ben" in shelf.searched


async def test_what_is_deleted_is_taken_back(screen_text: Callable[[Any], str]) -> None:
    shelf = FakeShelf()
    app, _ = made(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("u")
        assert "Nothing was deleted here" in screen_text(app)
        await pilot.press("space", "space", "d")
        await settled(pilot)
        assert [one.number for one in shelf.binned] == [1, 2]
        assert "2 brews in the bin; u takes back." in screen_text(app)
        await pilot.press("delete")
        await settled(pilot)
        await pilot.press("u", "u")
        await settled(pilot)
        assert "2 brews taken back." in screen_text(app)
    assert len(shelf.kept) == len(BREWS)


async def test_the_mouse_picks_opens_marks_and_scrolls() -> None:
    app, asked = made()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.click(BrewList, offset=(10, 2))
        await pilot.click(BrewList, offset=(10, 2))
        await pilot.click(BrewList, offset=(10, 1), shift=True)
        await pilot.click(BrewList, offset=(10, 2), shift=True)
        await pilot.click(BrewList, offset=(10, 0))
        await pilot.press("c")
    assert asked.done == [("review", ["2.jsonl"]), ("compare", ["1.jsonl", "2.jsonl"])]


async def test_cup_notes_and_tags_are_kept_with_the_brew(
    screen_text: Callable[[Any], str],
) -> None:
    shelf = FakeShelf()
    app, _ = made(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("n", "tab", *"11", "f2")
        assert "acidity 11 is not on the scale from 0 to 10" in screen_text(app)
        await pilot.press("backspace", "backspace", *"7.5")
        await pilot.press(*["tab"] * 6, *"flat", "tab", "tab", *"ripe plum", "f2")
        await settled(pilot)
        assert "It is kept with the brew." in screen_text(app)
        await pilot.press("escape", "t", *"exam -old", "enter")
        await settled(pilot)
    (number, words), (_, tags) = shelf.said
    assert number == 1
    assert [type(word).__name__ for word in words] == ["CupNote", "Remark"]
    cup = words[0]
    assert isinstance(cup, CupNote)
    assert (cup.scores, cup.text, cup.most) == ({"acidity": 7.5}, "ripe plum", 10.0)
    assert [(tag.name, tag.on) for tag in tags if isinstance(tag, Tag)] == [
        ("exam", True),
        ("old", False),
    ]


async def test_brews_are_judged_meanwhile_and_keys_are_acted_on(
    screen_text: Callable[[Any], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pourcoach.tui.sessions.judging.SHOWN_EVERY_S", 0.01)
    shelf = FakeShelf()
    shelf.unjudged = 3
    shelf.held = held = Event()
    shelf.sentences = ["moved, and known by content: a.jsonl"]
    app, _ = made(shelf)
    # Whatever goes wrong, no thread may wait for ever.
    async with app.run_test(size=(80, 24)) as pilot, AsyncExitStack() as stack:
        stack.callback(held.set)
        await seen(pilot, "judging 1 of 3 · by when", screen_text)
        assert "moved, and known by content: a.jsonl." in screen_text(app)
        await pilot.press("down")
        await seen(pilot, "24 brews", screen_text)
        assert "judging 1 of 3 · by when" in screen_text(app)
        held.set()
        await seen(pilot, "   by when", screen_text)
        assert shelf.judged == 3


async def test_a_sentence_that_a_key_took_away_does_not_come_back_with_the_list(
    screen_text: Callable[[Any], str],
) -> None:
    """Which is read anew while brews are judged."""
    shelf = FakeShelf()
    shelf.unjudged = 3
    shelf.held = held = Event()
    shelf.sentences = ["moved, and known by content: a.jsonl"]
    app, _ = made(shelf)
    async with app.run_test(size=(80, 24)) as pilot, AsyncExitStack() as stack:
        stack.callback(held.set)
        await seen(pilot, "judging 1 of 3 · by when", screen_text)
        await seen(pilot, "moved, and known by content: a.jsonl.", screen_text)
        read = len(shelf.searched)
        app.screen._judging._step()
        app.screen.action_move(1)
        while len(shelf.searched) == read:
            await pilot.pause(0.01)
        await pilot.pause(0.05)
        assert "24 brews" in screen_text(app)


async def test_judging_stops_when_the_list_is_left(screen_text: Callable[[Any], str]) -> None:
    shelf = FakeShelf()
    shelf.unjudged = 1000
    shelf.held = held = Event()
    app, _ = made(shelf)
    async with app.run_test(size=(80, 24)) as pilot, AsyncExitStack() as stack:
        stack.callback(held.set)
        await seen(pilot, "the even one", screen_text)
        screen = app.screen
        await pilot.press("escape")
        while screen.is_attached:
            await pilot.pause(0.01)
        held.set()
    assert shelf.judged == 0


async def test_a_library_that_cannot_be_used_is_reported(screen_text: Callable[[Any], str]) -> None:
    shelf = FakeShelf()
    shelf.trouble = WorkError("the library is broken", "'pourcoach sessions rebuild' mends it")
    app, _ = made(shelf)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        assert "the library is broken; 'pourcoach sessions rebuild'" in screen_text(app)


async def test_an_empty_library_says_how_to_begin(screen_text: Callable[[Any], str]) -> None:
    app, _ = made(FakeShelf([]))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "No brew is kept yet" in screen_text(app)
        await pilot.press("enter", "space", "d", "c", "n", "t", "r", "o", "down", "q")
        assert app.left


async def seen(pilot: Any, words: str, screen_text: Callable[[Any], str]) -> None:
    # Not settled(): the judging goes on meanwhile.
    for _ in range(500):
        if words in screen_text(pilot.app):
            return
        await pilot.pause(0.01)
    pytest.fail(f"{words!r} is not in\n{screen_text(pilot.app)}")
