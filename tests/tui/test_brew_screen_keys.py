"""What the keys and the mouse ask of a brew and of a replay."""

from collections.abc import Callable
from typing import Any

from pourcoach.tui.renderables.glyphs import ASCII
from tests.tui.brew_frames import DRAWN_S


async def asked_for(app: Any, session: Any, sequences: list[str]) -> dict[str, list[str]]:
    """What the session was asked for after each sequence of keys, pressed one after the other."""
    asked = {}
    async with app.run_test() as pilot:
        await pilot.pause()
        for sequence in sequences:
            session.asked.clear()
            for key in sequence.split():
                await pilot.press(key)
                await pilot.pause()
            asked[sequence] = list(session.asked)
    return asked


async def test_keys_of_a_live_brew(fake_brew: Any, brew_app: Any) -> None:
    session = fake_brew()
    expected = {
        "space": ["main"],
        "enter": ["main"],
        "t": ["tare"],
        "m": ["mark"],
        "u": ["undo"],
        "n h o t space x enter": ["note hot x"],
        "n enter": [],
        "n x escape": [],
        "p left full_stop up": [],
        "question_mark t": [],
        "question_mark t t": ["tare"],
    }
    assert await asked_for(brew_app(session), session, list(expected)) == expected


async def test_keys_of_a_replay(fake_replay: Any, brew_app: Any) -> None:
    session = fake_replay()
    expected = {
        "space": ["pause"],
        "p enter": ["pause", "pause"],
        "left right": ["seek -5", "seek +5"],
        "up plus down minus": ["faster", "faster", "slower", "slower"],
        "full_stop": ["step"],
        "t m n u": [],
    }
    assert await asked_for(brew_app(session), session, list(expected)) == expected


async def test_a_note_is_written_in_the_last_row(
    fake_brew: Any, brew_app: Any, screen_text: Callable[[Any], str]
) -> None:
    """The rest of the screen can still be read, and no glyph is outside the set."""
    app = brew_app(fake_brew(), ASCII)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        before = screen_text(app).split("\n")
        await pilot.press("n", "h", "o", "t")
        await pilot.pause(DRAWN_S)
        after = screen_text(app).split("\n")
        assert after[:-1] == before[:-1]
        assert after[-1] == "  hot"


async def test_help_goes_over_the_screen_and_any_key_takes_it_away(
    fake_replay: Any, brew_app: Any, screen_text: Callable[[Any], str]
) -> None:
    app = brew_app(fake_replay(), ASCII)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("question_mark")
        await pilot.pause(DRAWN_S)
        text = screen_text(app)
        assert text.isascii()
        assert "left right   5 s back or on" in text
        await pilot.press("x")
        await pilot.pause(DRAWN_S)
        assert "5 s back or on" not in screen_text(app)


async def test_a_click_anywhere_is_the_main_action(fake_brew: Any, brew_app: Any) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        for offset in [(5, 2), (50, 20), (90, 15), (30, 29)]:
            await pilot.click(offset=offset)
        assert session.asked == ["main"] * 4
