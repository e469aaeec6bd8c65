"""What the brew screen costs: CPU, bytes to the terminal, latency, start, memory.

Run: ``python -m tests.benchmarks.screen [--seconds S] [--stops N] [RATE …]`` (Linux or macOS; rates
in Hz). On a machine with other work on it the latencies are those of its scheduler.

A child process brews on a real session, pipeline, tape and screen in a pseudo-terminal of 100x30;
this process is the terminal: it reads every byte, keeps the screen, and notes when the weight on
it has reached that of each reading. So the latency is from a reading's arrival to its digits
being on the terminal's screen, rounded to what the digits show; the terminal's own drawing is
left out. CPU is that of the child alone, over the pour.
"""

import argparse
import asyncio
import json
import random
import resource
import sys
import tempfile
import time
from collections.abc import AsyncIterator
from pathlib import Path
from statistics import median, quantiles
from types import TracebackType
from typing import Any, Self

import pourcoach.tui  # noqa: F401 - first, as in the program: it sets how Textual draws
from tests.benchmarks.screen_terminal import Terminal

REST_S, WARM_UP_S = 2.0, 3.0
FLOW_GPS, NOISE_G = 5.0, 0.05
SEED = 1
TARGETS = {
    "cpu_percent": 8.0,
    "kb_per_s": 50.0,
    "latency_p95_ms": 40.0,
    "stop_p95_ms": 20.0,
    "- known_p95_ms": 20.0,
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("rates", nargs="*", type=float, default=[10.0, 80.0])
    parser.add_argument("--seconds", type=float, default=15.0, help="measured, of each brew")
    parser.add_argument("--stops", type=int, default=12, help="STOPs to time, of each rate")
    parser.add_argument("--child", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--whole", action="store_true", help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.child is not None:
        Child(arguments.rates[0], arguments.seconds, arguments.child).run(whole=arguments.whole)
        return
    from tests.benchmarks.screen_stops import PAUSE_S, POUR_S, measure_stops

    results: dict[str, dict[str, float]] = {}
    for rate in arguments.rates:
        _say(f"{rate:g} Hz: a pour of {arguments.seconds:g} s")
        results[f"{rate:g} Hz"] = measure(rate, arguments.seconds)
        _say(f"{rate:g} Hz: {arguments.stops} STOPs in {arguments.stops * (POUR_S + PAUSE_S):g} s")
        results[f"{rate:g} Hz"] |= measure_stops(rate, arguments.stops)
    fastest = max(arguments.rates)
    _say(f"{fastest:g} Hz: a pour of {arguments.seconds:g} s, every widget sent whole")
    results["whole"] = measure(fastest, arguments.seconds, whole=True)
    print(f"{'':<20}" + "".join(f"{head:>10}" for head in results) + f"{'target':>10}")
    for name in next(iter(results.values())):
        values = "".join(
            f"{result[name]:>10.1f}" if name in result else f"{'':>10}"
            for result in results.values()
        )
        target = f"< {TARGETS[name]:g}" if name in TARGETS else ""
        print(f"{name:<20}{values}{target:>10}")
    print(
        "stop: from due to shown; of it revised by the reading itself, and from when it was known"
    )
    print(f"whole: at {fastest:g} Hz, but every widget that changed is sent whole")


def _say(what: str) -> None:
    """Of what takes its time."""
    print(what, file=sys.stderr, flush=True)


def measure(rate_hz: float, seconds: float, *, whole: bool = False) -> dict[str, float]:
    """Brew once in a child process, and be its terminal."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "child.json"
        options = ["--child", str(out), "--seconds", str(seconds), *(["--whole"] if whole else [])]
        terminal = Terminal(["-m", "tests.benchmarks.screen", *options, f"{rate_hz}"])
        terminal.watch()
        child = json.loads(out.read_text())
    begin, end = child["window"]
    arrived = [(at, grams) for at, grams in child["frames"] if begin <= at < end]
    late_ms = latencies_ms(arrived, terminal.shown)
    measured = sum(size for at, size in terminal.received if begin <= at < end)
    return {
        "cpu_percent": 100 * child["cpu_s"] / (end - begin),
        "kb_per_s": measured / 1000 / (end - begin),
        "draws_per_s": sum(begin <= at < end for at, _ in terminal.shown) / (end - begin),
        "latency_p50_ms": median(late_ms),
        "latency_p95_ms": quantiles(late_ms, n=20)[-1],
        "first_screen_ms": terminal.first_screen_ms,
        "memory_mb": child["memory_mb"],
    }


def latencies_ms(
    arrived: list[tuple[float, float]], shown: list[tuple[float, float]]
) -> list[float]:
    """From each reading's arrival to the first screen that shows its weight or a later one.

    Both rise: the curve is a pour, and ``arrived`` counts only readings above all before.
    """
    late = []
    at, highest = 0, -1.0
    for time_s, grams in arrived:
        if grams <= highest:
            continue
        highest = grams
        while at < len(shown) and (shown[at][0] < time_s or shown[at][1] < grams):
            at += 1
        if at == len(shown):
            break
        late.append(1000 * (shown[at][0] - time_s))
    return late


class Ramp:
    """A scale under an even pour, as real in time as the loop lets it."""

    address = "ramp"

    def __init__(self, rate_hz: float, until_s: float, now: Any) -> None:
        self._period_s = 1 / rate_hz
        self._until_s = until_s
        self._now = now

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None: ...

    async def __aiter__(self) -> AsyncIterator[Any]:
        from pourcoach.domain.inputs import Reading

        noise = random.Random(SEED)
        due_s = 0.0
        while due_s < self._until_s:
            await asyncio.sleep(max(0.0, due_s - self._now()))
            grams = FLOW_GPS * max(0.0, due_s - REST_S) + noise.gauss(0.0, NOISE_G)
            yield Reading(self._now(), round(grams, 2))
            due_s += self._period_s

    async def tare(self) -> bool:
        return False


class Child:
    """The brew that is measured."""

    def __init__(self, rate_hz: float, seconds: float, out: Path) -> None:
        self._rate_hz = rate_hz
        self._seconds = seconds
        self._out = out
        self._frames: list[tuple[float, float]] = []
        self._window = (0.0, 0.0)
        self._cpu_s = 0.0

    def run(self, *, whole: bool) -> None:
        from textual.app import App
        from textual.widget import Widget

        from pourcoach.domain.plan import Plan, Stage
        from pourcoach.recordings.tape import TapeHeader
        from pourcoach.recordings.writer import TapeWriter
        from pourcoach.session.brew import BrewSession
        from pourcoach.session.clock import Clock
        from pourcoach.tui.brew.brew_screen import BrewScreen
        from pourcoach.tui.renderables.palette import DARK
        from pourcoach.tui.themes import use_palette, variables
        from pourcoach.tui.widgets.chart import Chart
        from pourcoach.tui.widgets.painted import Painted

        if whole:
            for kind in (Painted, Chart):
                kind.refresh = lambda widget, *_, **asked: Widget.refresh(widget, **asked)

        pour_s = WARM_UP_S + self._seconds + 2.0
        water_g = 1.2 * pour_s * FLOW_GPS
        stage = Stage("pour 1", 0.0, water_g, FLOW_GPS)
        plan = Plan(20.0, water_g / 20, water_g, 30.0, 1.5 * pour_s, (stage,))
        clock = Clock()
        scale = Ramp(self._rate_hz, REST_S + pour_s, clock.now)
        tape = TapeWriter(self._out.with_suffix(".jsonl"), TapeHeader(plan))
        session = BrewSession(scale, clock, plan, None, tape, self._hear)
        child = self

        class Bench(App[None]):
            def get_theme_variable_defaults(self) -> dict[str, str]:
                return variables(DARK)

            def on_mount(self) -> None:
                use_palette(self, DARK)
                self.push_screen(BrewScreen(session))
                self.run_worker(self.watch_the_window())

            async def watch_the_window(self) -> None:
                await clock.sleep(REST_S + WARM_UP_S)
                begun, cpu_s = time.perf_counter(), time.process_time()
                await clock.sleep(child._seconds)
                child._window = (begun, time.perf_counter())
                child._cpu_s = time.process_time() - cpu_s
                self.exit()

        bench = Bench()
        bench.run()
        if bench.return_code or not self._cpu_s:
            sys.exit("the app ended early")
        unit = 1 << 20 if sys.platform == "darwin" else 1 << 10
        memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / unit
        self._out.write_text(
            json.dumps(
                {
                    "frames": self._frames,
                    "window": self._window,
                    "cpu_s": self._cpu_s,
                    "memory_mb": memory_mb,
                }
            )
        )

    def _hear(self, frame: Any) -> None:
        """Every Frame, just before the screen gets it; the fold has taken its time already."""
        self._frames.append((time.perf_counter(), round(frame.estimate.mass_g, 1)))


if __name__ == "__main__":
    main()
