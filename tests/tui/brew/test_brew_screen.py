"""The brew screen as text and in its colours, at every size."""

from collections.abc import Callable
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.tui.brew.panels import WordPanel
from pourcoach.tui.renderables.glyphs import ASCII, CP437, FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK, PALETTES, Tone
from tests.tui.brew_frames import Frames, MakeFrame, drawn
from tests.tui.conftest import colours_on


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
                await drawn(pilot)
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
        await drawn(pilot)
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
        await drawn(pilot)
        golden("without-plan-80x24", screen_text(app))


async def test_the_panel_has_the_tone_of_the_cue(
    fake_brew: Any, brew_app: Any, frame: MakeFrame
) -> None:
    session = fake_brew()
    app = brew_app(session)
    seen = {}
    async with app.run_test() as pilot:
        await pilot.pause()
        for index, word in enumerate([Word.WAIT, Word.POUR, Word.STOP, Word.SCALE, Word.POUR]):
            session.feed(frame(10.0 + index, word, 20.0, phase=Phase.POURING))
            await drawn(pilot)
            seen[word] = app.screen.query_one(WordPanel).shown.tone
    assert seen == {
        Word.WAIT: Tone.WAIT,
        Word.POUR: Tone.TARGET,
        Word.STOP: Tone.ACT,
        Word.SCALE: Tone.ACT,
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
            await pilot.pause(0.1)
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
        await drawn(pilot)
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
        await drawn(pilot)
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
            await drawn(pilot)
        assert screen_text(app) == first
