"""From the moment STOP is due to its letters on the terminal. Part of ``tests.benchmarks.screen``.

A child process brews on a real session, pipeline, tape and screen: pours of 2.5 s, each with a
mark of its own, so that STOP comes over and over. This process is its terminal and notes when the
word stands there. That moment less the one from which on the fold holds STOP to be in force has two
parts:

- ``revised``: from the moment in force to the reading that showed it to have passed; 0 where the
  forecast made before that moment held. This is the forecast's error, and
  ``tests.benchmarks.screen_forecast`` sets it against the error that the estimate states.
- ``known``: the rest, from when the program could know. This is the program's own latency.
"""

import argparse
import json
import random
import sys
import tempfile
import time
from collections.abc import AsyncIterator
from pathlib import Path
from statistics import median, quantiles
from typing import Any

from pourcoach.domain.plan import Plan, Stage
from tests.benchmarks.screen import FLOW_GPS, NOISE_G, SEED, Ramp
from tests.benchmarks.screen_terminal import Terminal

POUR_S, PAUSE_S = 2.5, 2.5
FIRST_S = 2.0
WORD_COLUMNS = 34


def measure_stops(rate_hz: float, stops: int) -> dict[str, float]:
    """Brew once in a child process, and be its terminal."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "child.json"
        options = ["--child", str(out), "--stops", str(stops), f"{rate_hz}"]
        terminal = StopTerminal(["-m", "tests.benchmarks.screen_stops", *options])
        terminal.watch()
        due = json.loads(out.read_text())
    late_ms, revised_ms, after_known_ms = [], [], []
    for due_s, known_s in due:
        shown_s = next((at for at in terminal.stops if at >= due_s - POUR_S / 2), None)
        if shown_s is not None and shown_s - due_s < PAUSE_S:
            late_ms.append(1000 * (shown_s - due_s))
            revised_ms.append(1000 * (known_s - due_s))
            after_known_ms.append(1000 * (shown_s - known_s))
    if len(late_ms) < max(2, stops // 2):
        sys.exit(f"only {len(late_ms)} of {stops} STOPs were seen")
    return {
        "stop_p50_ms": median(late_ms),
        "stop_p95_ms": quantiles(late_ms, n=20)[-1],
        "- revised_p95_ms": quantiles(revised_ms, n=20)[-1],
        "- known_p95_ms": quantiles(after_known_ms, n=20)[-1],
        "stops": len(late_ms),
        "stops_foreseen": sum(ms == 0.0 for ms in revised_ms),
    }


def plan_of(stops: int) -> Plan:
    """So many pours alike, each with a mark of its own."""
    each_g, every_s = FLOW_GPS * POUR_S, POUR_S + PAUSE_S
    stages = tuple(
        Stage(f"pour {nth + 1}", nth * every_s, (nth + 1) * each_g, FLOW_GPS)
        for nth in range(stops)
    )
    water_g = stages[-1].to_g
    return Plan(20.0, water_g / 20, water_g, every_s, stops * every_s + 20.0, stages)


def poured_g(time_s: float) -> float:
    """What was poured by then, to that plan."""
    whole, into_s = divmod(max(0.0, time_s - FIRST_S), POUR_S + PAUSE_S)
    return FLOW_GPS * (whole * POUR_S + min(into_s, POUR_S))


class StopTerminal(Terminal):
    """Notes when STOP comes up."""

    def __init__(self, arguments: list[str]) -> None:
        from pourcoach.tui.renderables.block_text import block_text
        from pourcoach.tui.renderables.glyphs import FULL

        self.stops: list[float] = []
        self._letters = [f"  {row}".ljust(WORD_COLUMNS) for row in block_text("STOP", FULL, 2, 2)]
        self._there = False
        super().__init__(arguments)

    def look(self, rows: list[str], now: float) -> None:
        there = [row[:WORD_COLUMNS] for row in rows[1:6]] == self._letters
        if there and not self._there:
            self.stops.append(now)
        self._there = there


class Pours(Ramp):
    """A scale under even pours with rests between."""

    def __init__(self, rate_hz: float, stops: int, now: Any) -> None:
        super().__init__(rate_hz, FIRST_S + stops * (POUR_S + PAUSE_S), now)

    async def __aiter__(self) -> AsyncIterator[Any]:
        import asyncio

        from pourcoach.domain.inputs import Reading

        noise = random.Random(SEED)
        due_s = 0.0
        while due_s < self._until_s:
            await asyncio.sleep(max(0.0, due_s - self._now()))
            grams = poured_g(due_s) + noise.gauss(0.0, NOISE_G)
            yield Reading(self._now(), round(grams, 2))
            due_s += self._period_s


def child(rate_hz: float, stops: int, out: Path) -> None:
    """The brew that is measured."""
    from textual.app import App

    from pourcoach.domain.advice import Word
    from pourcoach.recordings.tape import TapeHeader
    from pourcoach.recordings.writer import TapeWriter
    from pourcoach.session.brew import BrewSession
    from pourcoach.session.clock import Clock
    from pourcoach.tui.brew.brew_screen import BrewScreen
    from pourcoach.tui.renderables.palette import DARK
    from pourcoach.tui.themes import use_palette, variables

    plan = plan_of(stops)
    clock = Clock()
    origin_s = time.perf_counter() - clock.now()
    due: list[tuple[float, float]] = []
    expected_s: float | None = None

    def hear(frame: Any) -> None:
        """When STOP took over, by the fold, and when that was known."""
        nonlocal expected_s
        cue = frame.cue
        since_s = origin_s + cue.since_s
        if cue.word is Word.STOP and (not due or since_s - due[-1][0] > POUR_S / 2):
            foreseen = expected_s is not None and expected_s <= cue.since_s
            due.append((since_s, since_s if foreseen else time.perf_counter()))
        expected_s = cue.stop_due_s

    tape = TapeWriter(out.with_suffix(".jsonl"), TapeHeader(plan))
    session = BrewSession(Pours(rate_hz, stops, clock.now), clock, plan, None, tape, hear)

    class Bench(App[None]):
        def get_theme_variable_defaults(self) -> dict[str, str]:
            return variables(DARK)

        def on_mount(self) -> None:
            use_palette(self, DARK)
            self.push_screen(BrewScreen(session))
            self.set_timer(FIRST_S + stops * (POUR_S + PAUSE_S) + 0.5, self.exit)

    bench = Bench()
    bench.run()
    if bench.return_code:
        sys.exit("the app ended early")
    out.write_text(json.dumps(due))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("rate", type=float)
    parser.add_argument("--stops", type=int, default=20)
    parser.add_argument("--child", type=Path, required=True)
    arguments = parser.parse_args()
    child(arguments.rate, arguments.stops, arguments.child)


if __name__ == "__main__":
    main()
