"""What the keys and the mouse ask of a brew and of a replay."""

import asyncio
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import WorkError
from pourcoach.domain.key_press import Key, KeyPress
from pourcoach.domain.pour import Ending, Phase
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.brew.panels import WordPanel
from pourcoach.tui.dialogs.dialogs import QuestionScreen
from pourcoach.tui.renderables.block_text import block_text
from pourcoach.tui.renderables.glyphs import ASCII, FULL
from pourcoach.tui.renderables.palette import DARK, Tone
from pourcoach.tui.session_view import SessionView
from tests.patience import PATIENCE_S
from tests.reports.made_brew import STEADY, USUAL_RUBRIC
from tests.tui.as_text import ScreenText, Size
from tests.tui.brew_frames import drawn, pouring


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
        "home end": ["beginning", "end"],
        "pageup pagedown": ["stage-before", "next-stage"],
        "shift+tab tab": ["finding-before", "next-finding"],
        "t m n u": [],
    }
    assert await asked_for(brew_app(session), session, list(expected)) == expected


async def test_a_note_is_written_in_the_last_row(
    fake_brew: Any, brew_app: Any, screen_text: ScreenText
) -> None:
    """The rest of the screen can still be read, and no glyph is outside the set."""
    app = brew_app(fake_brew(), ASCII)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        before = screen_text(app).split("\n")
        await pilot.press("n", "h", "o", "t")
        await drawn(pilot)
        after = screen_text(app).split("\n")
        assert after[:-1] == before[:-1]
        assert after[-1] == "  hot"


async def test_help_goes_over_the_screen_and_any_key_takes_it_away(
    fake_replay: Any, brew_app: Any, screen_text: ScreenText
) -> None:
    app = brew_app(fake_replay(), ASCII)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("question_mark")
        await drawn(pilot)
        text = screen_text(app)
        assert text.isascii()
        assert "left right       5 s back or on" in text
        await pilot.press("x")
        await drawn(pilot)
        assert "5 s back or on" not in screen_text(app)


async def test_a_click_anywhere_is_the_main_action(fake_brew: Any, brew_app: Any) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        for offset in [(5, 2), (50, 20), (90, 15), (30, 29)]:
            await pilot.click(offset=offset)
        assert session.asked == ["main"] * 4


async def test_what_a_key_did_is_confirmed_for_a_while(
    fake_brew: Any, brew_app: Any, frame: Any, screen_text: ScreenText
) -> None:
    session = fake_brew()
    app = brew_app(session)
    press = KeyPress(10.0, Key.MARK)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        lasts = []
        for t_s in (10.0, 12.9, 13.1):
            pouring = frame(t_s, Word.POUR, 30.0, phase=Phase.POURING)
            session.feed(pouring._replace(key_press=press, moments=(press,)))
            await drawn(pilot)
            lasts.append(screen_text(app).split("\n")[-1].strip())
    assert lasts[:2] == ["√  Marked: 0:06."] * 2
    assert lasts[2].startswith("2x space Finish")


@pytest.mark.parametrize("size", [(100, 30), (80, 24), (60, 20), (40, 12)])
async def test_the_way_back_is_large_for_as_long_as_it_works(
    size: Size, fake_brew: Any, brew_app: Any, frame: Any, screen_text: ScreenText
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        done = frame(20.0, Word.DONE, 40.0, phase=Phase.DONE)
        session.feed(done._replace(pour=done.pour._replace(ending=Ending.KEY)))
        session.undo_left_s = 4.2
        await drawn(pilot)
        text, panel = screen_text(app), app.screen.query_one(WordPanel)
        assert (panel.shown.figure, panel.shown.tone) == ("U BACK", Tone.ACT)
        assert "Press u within 5 s" in text
        assert "the brew goes on." in text
        blocks = [block_text("U BACK", FULL, *fit)[0] for fit in ((2, 2), (2, 1), (1, 1))]
        assert any(text.split("\n")[1].endswith(top) for top in blocks)
        session.undo_left_s = 0.0
        session.feed(done)
        await drawn(pilot)
        assert (panel.shown.figure, panel.shown.tone) == ("40.0", Tone.WAIT)


@pytest.mark.parametrize("word", [Word.POUR, Word.STOP])
async def test_the_main_key_asks_to_be_pressed_again_and_the_word_stays(
    word: Word, fake_brew: Any, brew_app: Any, frame: Any, screen_text: ScreenText
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        session.feed(frame(10.0, word, 30.0, phase=Phase.POURING))
        session.finish_asked = True
        await pilot.press("space")
        await drawn(pilot)
        panel = app.screen.query_one(WordPanel)
        assert (panel.shown.word, panel.shown.figure) == (word, "AGAIN?")
        assert "Press Space again within a second to end the brew." in screen_text(app)


@pytest.mark.parametrize(("stages", "asks"), [((), False), (STEADY[:1], False), (STEADY[:2], True)])
async def test_a_start_that_went_wrong_is_begun_again_with_one_key(
    stages: tuple[Any, ...], asks: bool, fake_brew: Any, frame: Any
) -> None:
    """Later on it is asked about first."""
    first, second = fake_brew(), fake_brew()

    async def story(app: PourcoachApp) -> None:
        await app.show(SessionView(first, again=lambda: SessionView(second)))

    app = PourcoachApp(story, USUAL_RUBRIC, FULL, DARK)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        pouring = frame(20.0, Word.POUR, 40.0, phase=Phase.POURING)
        first.feed(pouring._replace(pour=pouring.pour._replace(stages=stages)))
        await pilot.press("b")
        await pilot.pause()
        assert isinstance(app.screen, QuestionScreen) is asks
        if asks:
            await pilot.press("y")
        await asyncio.wait_for(second.running.wait(), PATIENCE_S)
        assert first.asked == ["stop"]


async def test_a_scale_that_was_not_there_is_tried_again_with_the_same_key(fake_brew: Any) -> None:
    first, second = fake_brew(), fake_brew()
    first.fault = WorkError("there is no port /dev/ttyUSB0", "plug the scale in")

    async def story(app: PourcoachApp) -> None:
        await app.show(SessionView(first, again=lambda: SessionView(second)))

    app = PourcoachApp(story, USUAL_RUBRIC, FULL, DARK)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b")
        await asyncio.wait_for(second.running.wait(), PATIENCE_S)
        await pilot.press("q")
    assert app.trouble is None


@pytest.mark.parametrize("size", [(100, 30), (80, 24)])
async def test_the_palette_of_commands_leaves_the_word_in_sight(
    size: tuple[int, int], fake_brew: Any
) -> None:
    session = fake_brew()

    async def story(app: PourcoachApp) -> None:
        await app.show(SessionView(session))

    app = PourcoachApp(story, USUAL_RUBRIC, FULL, DARK)
    async with pouring(app, session, size) as pilot:
        panel = app.screen.query_one(WordPanel)
        await pilot.press("ctrl+p")
        container = app.screen.query_one("#--container")
        await drawn(pilot)
        assert panel.region.bottom <= container.styles.margin.top < size[1] - 6


@pytest.mark.parametrize("size", [(100, 30), (80, 24), (60, 20), (40, 12)])
async def test_help_leaves_the_word_of_a_brew_under_way_in_sight(
    size: Size, fake_brew: Any, brew_app: Any, frame: Any, screen_text: ScreenText
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with pouring(app, session, size) as pilot:
        await pilot.press("question_mark")
        await drawn(pilot)
        session.feed(frame(11.0, Word.STOP, 38.0, phase=Phase.POURING))
        await drawn(pilot)
        rows = screen_text(app).split("\n")
        bare = size[0] == 40
        fit = {40: (1, 1), 60: (2, 1), 80: (2, 1), 100: (2, 2)}[size[0]]
        for row, top in zip(rows[1:6], block_text("STOP", FULL, *fit), strict=True):
            assert row.strip().startswith(top.strip())
        assert "The brew begins by itself" in "\n".join(rows[7:])
        assert ("on target" in "\n".join(rows)) is not bare
