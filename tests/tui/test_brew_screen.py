"""The brew screen as text, driven by frames and keys."""

from collections.abc import Callable
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import WorkError
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Phase
from pourcoach.recordings.tape import Tape, TapeHeader
from pourcoach.session.replay import ReplaySession
from pourcoach.tui.brew_screen import BrewScreen, Leave
from pourcoach.tui.renderables.glyphs import ASCII, CP437, FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK, PALETTES
from pourcoach.tui.widgets.word_panel import WordPanel
from tests.tui.conftest import strips_of

# More than the time between two draws, so that the newest frame is on the screen.
DRAWN_S = 0.08

MakeFrame = Callable[..., Frame]
Frames = list[Frame]


def shown_word(app: Any) -> Word:
    return app.screen.query_one(WordPanel).shown.word  # type: ignore[no-any-return]


def colours_on(app: Any) -> set[str]:
    """All colours of the screen's cells; "none" where a cell has none of its own."""
    colours = set()
    for strip in strips_of(app):
        for segment in strip:
            for colour in (segment.style.color, segment.style.bgcolor):
                colours.add("none" if colour is None else colour.get_truecolor().hex)
    return colours


@pytest.mark.parametrize(
    ("name", "size", "glyphs", "until_s"),
    [
        ("ready-100x30", (100, 30), FULL, None),
        ("pour-100x30", (100, 30), FULL, 55.0),
        ("drain-140x40", (140, 40), FULL, 150.0),
        ("wait-80x24", (80, 24), FULL, 20.0),
        ("pour-80x24-cp437", (80, 24), CP437, 105.0),
        ("pour-80x24-ascii", (80, 24), ASCII, 105.0),
        ("pour-60x20", (60, 20), FULL, 105.0),
        ("pour-59x19", (59, 19), FULL, 105.0),
        ("pour-40x10", (40, 10), FULL, 105.0),
        ("pour-39x9", (39, 9), FULL, 105.0),
        ("pour-10x3", (10, 3), FULL, 105.0),
    ],
)
async def test_as_text(
    name: str,
    size: tuple[int, int],
    glyphs: Glyphs,
    until_s: float | None,
    fake_brew: Any,
    brew_app: Any,
    brew_until: Callable[[float], Frames],
    screen_text: Callable[[Any], str],
    golden: Callable[[str, str], None],
) -> None:
    """Drawn at once from all frames, and anew as they come, it is the same picture."""
    frames = brew_until(0.0)[:20] if until_s is None else brew_until(until_s)
    session = fake_brew()
    app = brew_app(session, glyphs)
    texts = []
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        for pieces in (1, 3):
            for piece in range(pieces):
                start, end = (len(frames) * p // pieces for p in (piece, piece + 1))
                session.feed(*frames[start:end])
                await pilot.pause(DRAWN_S)
            texts.append(screen_text(app))
    assert texts[0] == texts[1]
    golden(name, texts[0])


async def test_a_replay_says_where_it_stands(
    fake_replay: Any,
    brew_app: Any,
    brew_until: Callable[[float], Frames],
    screen_text: Callable[[Any], str],
    golden: Callable[[str, str], None],
) -> None:
    session = fake_replay()
    app = brew_app(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        session.feed(*brew_until(105.0))
        await pilot.pause(DRAWN_S)
        golden("replay-80x24", screen_text(app))


async def test_without_a_plan(
    fake_brew: Any,
    brew_app: Any,
    frame: MakeFrame,
    screen_text: Callable[[Any], str],
    golden: Callable[[str, str], None],
) -> None:
    session = fake_brew(None)
    app = brew_app(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        session.feed(
            *(
                frame(
                    t_s, Word.POUR, 4.0 * (t_s - 4.0), phase=Phase.POURING, flow_gps=4.0, plan=None
                )
                for t_s in range(4, 60)
            )
        )
        await pilot.pause(DRAWN_S)
        golden("without-plan-80x24", screen_text(app))


async def test_the_panel_has_one_class_and_it_is_the_tone(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_brew()
    app = brew_app(session)
    seen = {}
    async with app.run_test() as pilot:
        await pilot.pause()
        for index, word in enumerate([Word.WAIT, Word.POUR, Word.STOP, Word.SCALE, Word.POUR]):
            session.feed(frame(10.0 + index, word, 20.0, phase=Phase.POURING))
            await pilot.pause(DRAWN_S)
            seen[word] = set(app.screen.query_one(WordPanel).classes)
    assert seen == {
        Word.WAIT: {"-wait"},
        Word.POUR: {"-target"},
        Word.STOP: {"-act"},
        Word.SCALE: {"-act"},
    }


async def test_another_theme_changes_all_colours_at_once(
    fake_brew: Any, brew_app: Any, brew_until: Callable[[float], Frames]
) -> None:
    """Nothing keeps a colour of the theme before, nor takes the terminal's own."""
    session = fake_brew()
    app = brew_app(session, FULL, DARK)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        session.feed(*brew_until(55.0))
        for palette in (*PALETTES.values(), DARK):
            app.theme = palette.name
            await pilot.pause(DRAWN_S)
            known = {palette.dim, palette.band, palette.curve, palette.poured}
            for pair in (palette.text, palette.target):
                known |= {pair.ink, pair.ground}
            assert colours_on(app) <= known
            assert {palette.target.ground, palette.band, palette.poured} <= colours_on(app)


async def test_no_color_is_no_error(
    monkeypatch: pytest.MonkeyPatch,
    fake_brew: Any,
    brew_app: Any,
    brew_until: Callable[[float], Frames],
    screen_text: Callable[[Any], str],
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        session.feed(*brew_until(55.0))
        await pilot.pause(DRAWN_S)
        assert app.no_color
        assert "NEXT" in screen_text(app)


async def test_resizing_in_mid_pour_down_to_next_to_nothing(
    fake_brew: Any,
    brew_app: Any,
    brew_until: Callable[[float], Frames],
    screen_text: Callable[[Any], str],
) -> None:
    """Every size on the way, frames coming all the while; back at the first it is the same."""
    session = fake_brew()
    app = brew_app(session)
    frames = brew_until(60.0)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        session.feed(*frames)
        await pilot.pause(DRAWN_S)
        first = screen_text(app)
        for step in range(0, 28, 3):
            await pilot.resize_terminal(100 - 10 * step // 3, 30 - step)
            session.feed(frames[-1])
            await pilot.pause()
            rows = screen_text(app).split("\n")
            assert len(rows) == 30 - step
            assert max(map(len, rows)) <= 100 - 10 * step // 3
        for size in [(10, 3), (1, 1), (3, 50), (300, 2), (100, 30)]:
            await pilot.resize_terminal(*size)
            session.feed(frames[-1])
            await pilot.pause(DRAWN_S)
        assert screen_text(app) == first


async def test_a_frame_is_drawn_at_once_and_then_only_the_newest(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause(DRAWN_S)
        panel = app.screen.query_one(WordPanel)
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        assert panel.shown.figure == "30.0"
        session.feed(
            *(frame(10.0 + n / 80, Word.POUR, 30.0 + n, phase=Phase.POURING) for n in (1, 2))
        )
        assert panel.shown.figure == "30.0"
        await pilot.pause(DRAWN_S)
        assert panel.shown.figure == "32.0"


async def test_stop_comes_when_due_without_a_frame(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause()
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING, stop_due_s=10.2))
        await pilot.pause(DRAWN_S)
        assert shown_word(app) is Word.POUR
        session.now_s = 10.25
        await pilot.pause(0.2)
        assert shown_word(app) is Word.STOP


async def test_silence_shows_by_itself_and_goes_with_the_next_frame(
    monkeypatch: pytest.MonkeyPatch, fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    monkeypatch.setattr("pourcoach.tui.brew_screen.STALE_S", 0.2)
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause()
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        await pilot.pause(DRAWN_S)
        assert shown_word(app) is Word.POUR
        await pilot.pause(0.4)
        assert shown_word(app) is Word.SCALE
        session.feed(frame(10.6, Word.POUR, 33.0, phase=Phase.POURING))
        await pilot.pause(DRAWN_S)
        assert shown_word(app) is Word.POUR


async def test_a_notice_takes_the_last_row(
    fake_brew: Any, brew_app: Any, frame: MakeFrame, screen_text: Callable[[Any], str]
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        session.notice = "The tape cannot be written: the disk is full."
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        await pilot.pause(DRAWN_S)
        last = screen_text(app).split("\n")[-1]
        assert last.startswith("  !  The tape cannot be written: the disk is full.")
        assert last.endswith("? Help")


async def test_seeking_back_begins_the_trace_anew(
    fake_replay: Any,
    brew_app: Any,
    brew_until: Callable[[float], Frames],
    screen_text: Callable[[Any], str],
) -> None:
    texts = []
    for seeks in (False, True):
        session = fake_replay()
        app = brew_app(session)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            if seeks:
                session.feed(*brew_until(150.0))
                await pilot.pause(DRAWN_S)
            session.feed(*brew_until(50.0))
            await pilot.pause(DRAWN_S)
            texts.append(screen_text(app))
    assert texts[1] == texts[0]


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


async def test_leaving_asks_only_while_brewing(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    expected = {
        (Phase.READY, "q"): Leave.QUIT,
        (Phase.READY, "escape"): Leave.BACK,
        (Phase.POURING, "q"): None,
        (Phase.POURING, "q n"): None,
        (Phase.POURING, "q y"): Leave.QUIT,
        (Phase.WAITING, "escape y"): Leave.BACK,
        (Phase.DRAINING, "escape escape"): None,
        (Phase.DONE, "q"): Leave.QUIT,
    }
    app = brew_app(fake_brew())
    left: dict[tuple[Phase, str], Leave | None] = {}
    async with app.run_test() as pilot:
        for phase, keys in expected:
            session = fake_brew()
            depth = len(app.screen_stack)
            answers: list[Leave | None] = []
            app.push_screen(BrewScreen(session), answers.append)
            await pilot.pause()
            session.feed(frame(10.0, Word.POUR, 30.0, phase=phase))
            for key in keys.split():
                await pilot.press(key)
                await pilot.pause()
            await pilot.pause(DRAWN_S)
            left[phase, keys] = answers[0] if answers else None
            assert session.asked == (["stop"] if answers else [])
            while len(app.screen_stack) > depth:
                await app.pop_screen()
    assert left == expected


async def test_a_replay_can_be_wound_back_after_its_end(
    brew_app: Any, screen_text: Callable[[Any], str]
) -> None:
    tape = Tape(TapeHeader(), tuple(Reading(t_s=n / 10, grams=0.0) for n in range(101)), 10.0)
    session = ReplaySession(tape, speed=200.0)
    app = brew_app(session)
    async with app.run_test(size=(100, 30)) as pilot:
        while "5 s back" not in screen_text(app):
            await pilot.pause(DRAWN_S)
        await pilot.press("right")  # There is nothing beyond the end.
        assert session.position_s == tape.last_s
        for _ in range(6):  # Else it would be over again before the next key.
            session.slower()
        await pilot.press("left", "space")
        await pilot.pause(DRAWN_S)
        assert session.paused
        assert 5.0 <= session.position_s < tape.last_s
        assert "Go on" in screen_text(app)


async def test_a_replay_is_left_without_being_asked(
    fake_replay: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_replay()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause()
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        await pilot.press("escape")
        await pilot.pause(DRAWN_S)
        assert app.left_how is Leave.BACK


async def test_stopping_saves_and_stays(fake_brew: Any, brew_app: Any, frame: MakeFrame) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause()
        app.brew_screen.action_stop()
        assert session.asked == []
        session.feed(frame(10.0, Word.POUR, 30.0, phase=Phase.POURING))
        app.brew_screen.action_stop()
        await pilot.pause(DRAWN_S)
        assert (session.asked, app.left_how, app.brew_screen.brewing) == (["stop"], None, False)


async def test_after_the_end_the_main_action_goes_to_the_review(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_brew()
    app = brew_app(session)
    async with app.run_test() as pilot:
        await pilot.pause()
        session.feed(frame(200.0, Word.DONE, 320.0, phase=Phase.DONE))
        session.stop()
        await pilot.pause(DRAWN_S)
        await pilot.press("space")
        await pilot.pause(DRAWN_S)
        assert app.left_how is Leave.REVIEW
        assert "main" not in session.asked


async def test_a_scale_that_cannot_be_used_is_said_in_words(
    fake_brew: Any, brew_app: Any, screen_text: Callable[[Any], str]
) -> None:
    session = fake_brew()
    session.fault = WorkError("there is no port /dev/ttyUSB7", "plug the scale in")
    app = brew_app(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(DRAWN_S)
        assert "! there is no port /dev/ttyUSB7; plug the scale in" in screen_text(app)
        assert app.brew_screen.error is session.fault
        await pilot.press("space")
        await pilot.pause(DRAWN_S)
        assert app.left_how is Leave.BACK
