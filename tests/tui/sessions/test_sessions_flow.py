"""From the list to a review and back, on a library of files."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.library import Library, library_path
from pourcoach.places import tapes_folder
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.brew.leave import Leave
from pourcoach.tui.renderables.glyphs import FULL
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.review.review_screen import ReviewScreen
from pourcoach.tui.sessions.sessions_screen import SessionsScreen
from pourcoach.tui.sessions_flow import show_sessions
from tests.library.made_tapes import NOON, make_tape
from tests.reports.made_brew import USUAL_RUBRIC
from tests.tui.settled import settled


async def test_a_brew_is_reviewed_noted_deleted_and_taken_back(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    screen_text: Callable[[Any], str],
) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    tape = make_tape(tapes_folder() / "a.jsonl", by="Ada")
    make_tape(tapes_folder() / "b.jsonl", NOON, "Bo")
    left: list[Leave] = []

    async def story(app: PourcoachApp) -> None:
        left.append(await show_sessions(app))

    app = PourcoachApp(story, USUAL_RUBRIC, FULL, DARK)
    async with app.run_test(size=(100, 30)) as pilot:

        async def until(seen: str) -> None:
            for _ in range(200):
                await settled(pilot)
                if seen in screen_text(app):
                    return
                await pilot.pause(0.02)
            pytest.fail(f"{seen!r} is not in\n{screen_text(app)}")

        await until("NO WATER")
        await pilot.press("down", "enter")
        await until("No pour was found")
        assert isinstance(app.screen, ReviewScreen)
        await pilot.press("k", *["tab"] * 9, *"plum", "f2")
        await until("It is kept with the brew.")
        await pilot.press("escape", "escape")
        await until("Note: plum")
        assert isinstance(app.screen, SessionsScreen)
        await pilot.press("d")
        await until("1 brew in the bin")
        assert not tape.exists()
        await pilot.press("u")
        await until("1 brew taken back.")
        await pilot.press("home", "space", "space", "c")
        await until("nothing was poured on b; leave it out")
        await pilot.press("q")
        await pilot.pause()
    assert left == [Leave.QUIT]
    assert json.loads(tape.read_text().splitlines()[-1])["text"] == "plum"
    with Library(library_path()) as library:
        notes = [open_brew(library, brew.number).remarks for brew in find_brews(library)]
    assert [len(each) for each in notes] == [0, 1]
