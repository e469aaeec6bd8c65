"""How soon a tilt of the mouse is in the drawn curve, and whether long practice grows.

Run: ``python -m tests.benchmarks.kettle [--tilts N] [--minutes M]``.

The latency is from a mouse event coming in to the first update of the screen whose curve holds a
reading that was weighed after it; what arm, falling water and scale take in the simulated world is
left out, as is the terminal's own drawing. The growth is of memory over simulated minutes of pours,
one after the other, on a clock that runs 30 times as fast.
"""

import argparse
import asyncio
import gc
import os
import resource
import tempfile
import time
from datetime import datetime
from pathlib import Path
from statistics import median, quantiles
from typing import Any

from textual.events import MouseDown, MouseMove

from pourcoach.practice.block.attempt import Glance, Step
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import NONE, Schedule
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.practice.drill_brew import PracticeSession
from pourcoach.session.practice.drills import find_drill
from pourcoach.session.settings import Settings
from pourcoach.tui.practice.practice_screen import PracticeScreen
from pourcoach.tui.widgets.kettle_panel import KettlePanel
from tests.tui.screen_app import ScreenApp

SPEED = 30
TARGET_MS = 60.0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--tilts", type=int, default=200)
    parser.add_argument("--minutes", type=float, default=30.0, help="simulated")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        os.environ["POURCOACH_HOME"] = home
        late_ms = asyncio.run(_latencies_ms(arguments.tilts))
        p50, p95 = median(late_ms), quantiles(late_ms, n=20)[-1]
        print(f"mouse to drawn curve: p50 {p50:.1f} ms, p95 {p95:.1f} ms of {len(late_ms)} tilts")
        print(f"target p95 < {TARGET_MS:g} ms: {p95 / TARGET_MS:.2f} of it")
        asyncio.run(_grow(arguments.minutes))


class TimedScreen(PracticeScreen):
    """Notes when the screen was up to date with which reading."""

    drawn: list[tuple[float, float]]
    """Moment on the session's clock, and that of the newest reading in the curve."""

    def _draw(self) -> None:
        super()._draw()
        glance = self._session.newest
        if glance is None or glance.frame is None or not self.is_mounted:
            return
        newest_s = glance.frame.t_s
        self.call_after_refresh(lambda: self.drawn.append((self._session.now(), newest_s)))


def _course(address: str, schedule: Schedule, level: Level) -> PracticeCourse:
    return PracticeCourse(
        find_drill("full-brew"),
        address,
        Settings(),
        now=lambda: datetime.now().astimezone(),
        schedule=schedule,
        level=level,
    )


async def _latencies_ms(tilts: int) -> list[float]:
    # A beginner's first block has the curve; the baseline before it is left out.
    course = _course("kettle:?fill=1500", Schedule(), Level.BEGINNER)
    course._places.pop(0)
    session = course.next()
    assert session is not None
    screen = TimedScreen(session)
    screen.drawn = []
    app = ScreenApp(screen)
    moved: list[float] = []
    async with app.run_test(size=(100, 30)) as pilot:
        await asyncio.sleep(1.0)
        panel = screen.query_one(KettlePanel)
        x, y = panel.region.x + 5, panel.region.y
        app.post_message(_event(MouseDown, panel, x, y))
        for step in range(tilts):
            await asyncio.sleep(0.11 + 0.013 * (step % 7))
            moved.append(session.now())
            app.post_message(_event(MouseMove, panel, x + 22 + step % 3, y))
        await asyncio.sleep(0.5)
        await pilot.pause()
        session.stop()
    late_ms: list[float] = []
    for at_s in moved:
        seen = [drawn_s for drawn_s, newest_s in screen.drawn if newest_s >= at_s]
        if seen:
            late_ms.append(1000 * (seen[0] - at_s))
    return late_ms


def _event(kind: Any, panel: KettlePanel, x: int, y: int) -> Any:
    return kind(panel, x, y, 0, 0, 1, False, False, False, screen_x=x, screen_y=y)


async def _grow(minutes: float) -> None:
    """Pours of a minute each, through the whole pipeline and onto tapes."""
    course = _course(f"kettle:?speed={SPEED}", NONE, Level.PRACTISED)
    begun = time.perf_counter()
    sizes_kb: list[tuple[float, float]] = []
    while (gone_s := (time.perf_counter() - begun) * SPEED) < 60 * minutes:
        session = course.next()
        if session is None:
            course = _course(f"kettle:?speed={SPEED}", NONE, Level.PRACTISED)
            continue
        await _pour(session)
        course.take(session)
        _forget(session)
        gc.collect()
        sizes_kb.append((gone_s / 60, _resident_kb()))
    first = next((size for at, size in sizes_kb if at >= minutes / 6), sizes_kb[0][1])
    last = sizes_kb[-1][1]
    print(
        f"{len(sizes_kb)} pours in {minutes:g} simulated minutes: {first / 1000:.1f} MB after a"
        f" sixth of them, {last / 1000:.1f} MB at the end ({last / first:.3f} of it)"
    )


async def _pour(session: PracticeSession) -> None:
    kettle = session.kettle
    assert kettle is not None

    def on_glance(glance: Glance) -> None:
        assert kettle is not None
        match glance.step:
            case Step.READY if glance.t_s > 2.0:
                kettle.tilt_to(0.8)
            case Step.POURING:
                # Eight seconds of water, then rest, as the drill asks for.
                kettle.tilt_to(0.8 if glance.t_s % 20.0 < 8.0 else 0.0)
            case Step.ASKING:
                session.estimate(300.0)
            case Step.SHOWN | Step.OVER:
                session.stop()

    await session.run(on_glance)


def _forget(session: PracticeSession) -> None:
    """Each course reads what tapes there are; those of a bench are nobody's."""
    if session.recording is not None:
        session.recording.unlink()


def _resident_kb() -> float:
    pages = Path("/proc/self/statm").read_text().split()[1]
    return int(pages) * resource.getpagesize() / 1024


if __name__ == "__main__":
    main()
