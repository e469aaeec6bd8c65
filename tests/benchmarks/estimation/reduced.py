"""A reduced bench: few figures on fixed seeds, quick enough to be held by bounds in a test.

Everything is seeded, so the same code gives the same figures on every run. Each comes with its
standard error over the seeds, by the jackknife (Efron & Stein 1981, Annals of Statistics 9:586):
estimators of the same quality differ by a part of it on the same seeds.
"""

import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple, TypeVar

import numpy as np

from pourcoach.domain.pour import Pour
from tests.benchmarks.estimation.cells import WAYS, whole
from tests.benchmarks.estimation.ours import Run, run
from tests.benchmarks.estimation.population import (
    HANDS,
    A,
    Array,
    B,
    Brew,
    Scale,
    brew,
    touched_rest,
)
from tests.benchmarks.estimation.steadiness import JudgedPour, pours

TUNING = range(1000, 1010)
"""Seeds of the brews a scale and hand; bounds are tuning, and no figure of a report."""
SCALES: Mapping[str, Scale] = {
    "A": A,
    "B": B,
    "noisy": Scale(20.0, 0.15, 0.1, colour=0.5),
}
STEADY: Mapping[str, tuple[Scale, float, str]] = {
    "drummed, all arrive": (Scale(20.0, 0.05, 0.01), 0.024, "all arrive"),
    "drummed hard and fast": (Scale(80.0, 0.02, 0.01), 0.05, "all arrive"),
    "a fifth lost": (Scale(10.0, 0.05, 0.01), 0.012, "20 % lost"),
}
"""Evenness by the whole estimator: scale, drumming in seconds, and how readings arrive."""
STEADY_SEEDS = range(1100, 1116)
REST_SEEDS = range(550_900, 550_903)
FIGURES = Path(__file__).parents[2] / "estimation" / "figures.toml"
REST_S = 400.0
TOUCHES_PER_H = 120.0


Part = TypeVar("Part")


class Figure(NamedTuple):
    """One figure of the reduced bench."""

    value: float
    error: float
    """One standard error, over the seeds."""


@dataclass(frozen=True)
class BrewRun:
    """One brew and what the estimator made of it."""

    brew: Brew
    run: Run


def figures(scale: Scale) -> dict[str, Figure]:
    """All figures of one scale, by name."""
    runs = [
        BrewRun(one, run(one))
        for hand in HANDS
        for seed in TUNING
        for one in [brew(seed, scale, hand)]
    ]
    fallen = [brew(seed, scale, hand, falls=True) for hand in HANDS for seed in TUNING]
    refined = [(one, run(one).pours) for one in fallen]
    pairs = [(one, pours[0]) for one, pours in refined if len(pours) == 1]
    wrong = sum(len(one.run.pours) != 1 for one in runs) + len(fallen) - len(pairs)
    rests = [run(touched_rest(seed, scale, REST_S, TOUCHES_PER_H)) for seed in REST_SEEDS]
    made = {"not reported as one pour": Figure(float(wrong), 0.0)}
    made |= _jackknifed(_flow, runs)
    made |= _jackknifed(_edges, runs)
    made |= _jackknifed(_hindsight, pairs)
    made |= _jackknifed(_rest, rests)
    return made


def steadiness(scale: Scale, drumming_s: float, way: str) -> dict[str, Figure]:
    """Evenness of some pours, all of which can be judged."""
    found = [
        whole(one, WAYS[way](one, np.random.default_rng([seed, 23])))
        for seed, one in zip(STEADY_SEEDS, pours(STEADY_SEEDS, scale, drumming_s), strict=True)
    ]
    judged = [one for one in found if not np.isnan(one.off)]
    made = {"not judged": Figure(float(len(found) - len(judged)), 0.0)}
    return made | _jackknifed(_evenness, judged)


def _evenness(found: Sequence[JudgedPour]) -> dict[str, float]:
    """Root mean square and mean of how far it is off; its square over that of the stated error."""
    off, error = np.array([(one.off, one.error) for one in found]).T
    return {
        "flow_cv rms": float(np.sqrt(np.mean(off**2))),
        "flow_cv bias": float(np.mean(off)),
        "flow_cv z²": float(np.mean((off / error) ** 2)),
        "flow_cv error": float(np.mean(error)),
    }


def _jackknifed(
    judge: Callable[[Sequence[Part]], dict[str, float]], parts: Sequence[Part]
) -> dict[str, Figure]:
    """With standard errors, from what the figures are without each part in turn."""
    without = [judge([*parts[:i], *parts[i + 1 :]]) for i in range(len(parts))]
    made = {}
    for name, value in judge(parts).items():
        spread = float(np.std([one[name] for one in without]))
        made[name] = Figure(value, spread * (len(parts) - 1) ** 0.5)
    return made


def _flow(runs: Sequence[BrewRun]) -> dict[str, float]:
    """Of the flow inside pours: root mean square error in g/s, and its square over the square of
    the error stated, on average."""
    live, live_z, late, late_z = [], [], [], []
    for one in runs:
        b, r = one.brew, one.run
        inside = (r.times_s > b.start_s + 0.5) & (r.times_s < b.stop_s - 0.3)
        off = r.flows[inside] - b.flow_at(r.times_s[inside])
        live.append(off)
        live_z.append(off / r.flow_errors[inside])
        inside = (r.settled_s > b.start_s + 0.5) & (r.settled_s < b.stop_s - 0.3)
        off = r.settled_flows[inside] - b.flow_at(r.settled_s[inside])
        late.append(off)
        late_z.append(off / r.settled_errors[inside])
    return {
        "live flow rms": _rms(live),
        "live flow z²": _rms(live_z) ** 2,
        "settled flow rms": _rms(late),
        "settled flow z²": _rms(late_z) ** 2,
    }


def _edges(runs: Sequence[BrewRun]) -> dict[str, float]:
    """In ms, on average: when a start and a stop are reported live."""
    starts, stops = [], []
    for one in runs:
        b, r = one.brew, one.run
        on = r.arrivals_s[r.pouring & (r.arrivals_s >= b.start_s)]
        if not len(on):
            continue
        starts.append(1000 * (on[0] - b.start_s))
        after = np.flatnonzero(r.pouring)[-1] + 1
        if after < len(r.arrivals_s):
            stops.append(1000 * (r.arrivals_s[after] - b.stop_s))
    return {"start reported": float(np.mean(starts)), "stop reported": float(np.mean(stops))}


def _hindsight(pairs: Sequence[tuple[Brew, Pour]]) -> dict[str, float]:
    """Refined pours: root mean square error, and its square over the stated one's, on average."""
    rows: dict[str, tuple[Callable[[Brew, Pour], float], Callable[[Pour], float | None]]] = {
        "start ms": (lambda b, p: 1000 * (p.start_s - b.start_s), lambda p: _ms(p.start_error_s)),
        "end ms": (lambda b, p: 1000 * ((p.end_s or 0) - b.stop_s), lambda p: _ms(p.end_error_s)),
        "mass g": (
            lambda b, p: (p.mass_g or 0) - float(b.mass_at(b.stop_s + 1.0)),
            lambda p: p.mass_error_g,
        ),
        "flow_cv": (lambda b, p: (p.flow_cv or 0) - b.true_cv(), lambda p: p.flow_cv_error),
    }
    made: dict[str, float] = {}
    for name, (off, error) in rows.items():
        known = [(off(b, p), error(p)) for b, p in pairs if error(p)]
        offs, errors = np.array(known).T
        made[f"{name} rms"] = float(np.sqrt(np.mean(offs**2)))
        made[f"{name} z²"] = float(np.mean((offs / errors) ** 2))
    return made


def _rest(rests: Sequence[Run]) -> dict[str, float]:
    """Touched rest: flow shown in g/s, starts reported an hour, pours left standing."""
    touched_h = len(rests) * REST_S / 3600.0
    starts = sum(int(np.sum(one.pouring[1:] & ~one.pouring[:-1])) for one in rests)
    return {
        "rest flow rms": _rms([one.flows[~one.pouring] for one in rests]),
        "false starts an hour": starts / touched_h,
        "false pours an hour": sum(len(one.pours) for one in rests) / touched_h,
    }


def _ms(error_s: float | None) -> float | None:
    return None if error_s is None else 1000 * error_s


def _rms(parts: Sequence[Array]) -> float:
    joined = np.concatenate(list(parts))
    return float(np.sqrt(np.mean(joined * joined)))


def main() -> None:
    """Print the figures, or write them into the file that the tests go by."""
    lines = ["# Written by python -m tests.benchmarks.estimation.reduced --write: [value, error]"]
    for name, scale in SCALES.items():
        lines += ["", f"[{name}]"]
        lines += [
            f'"{what}" = [{f.value:.5g}, {f.error:.2g}]' for what, f in figures(scale).items()
        ]
    for name, (scale, drumming_s, way) in STEADY.items():
        lines += ["", f'["{name}"]']
        lines += [
            f'"{what}" = [{f.value:.5g}, {f.error:.2g}]'
            for what, f in steadiness(scale, drumming_s, way).items()
        ]
    text = "\n".join(lines) + "\n"
    if "--write" in sys.argv[1:]:
        FIGURES.write_text(text)
    else:
        print(text, end="")


if __name__ == "__main__":
    main()
