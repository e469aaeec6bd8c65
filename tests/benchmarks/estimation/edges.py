"""When water starts and stops: reported live, and refined in hindsight with its standard errors."""

from collections.abc import Sequence

import numpy as np

from pourcoach.domain.pour import Pour
from tests.benchmarks.estimation.ours import run
from tests.benchmarks.estimation.population import (
    FINE_HZ,
    HANDS,
    A,
    Array,
    B,
    Brew,
    Scale,
    brew,
    touched_rest,
    weigh,
)
from tests.benchmarks.estimation.sizes import Sizes

# Touched rest is cut into records of this length.
RECORD_S = 600.0
TOUCHES_PER_H = 60.0


def print_tables(sizes: Sizes) -> None:
    """All about starts and stops, and the coverage of every stated standard error."""
    for name, scale in (("A", A), ("B", B)):
        print(f"\nStarts and stops, scale {name}")
        for hand in HANDS:
            _print_edges(scale, hand, sizes)
        _print_false(scale, sizes)
    _print_stalls(sizes)


def _print_edges(scale: Scale, hand: str, sizes: Sizes) -> None:
    starts, middles, reader, stops, wrong = [], [], [], [], 0
    pairs: list[tuple[Brew, Pour]] = []
    covered, flow_covered = [], []
    for seed in sizes.edges:
        one = brew(seed, scale, hand)
        ran = run(one)
        t = ran.arrivals_s
        on = t[ran.pouring & (t >= one.start_s)]
        starts.append(on[0] - one.start_s)
        half_s = _half_s(one)
        middles.append(on[0] - half_s)
        reader.append(_stopwatch_s(one) - half_s)
        stops.append(t[np.flatnonzero(ran.pouring)[-1] + 1] - one.stop_s)
        fallen = brew(seed, scale, hand, falls=True)
        refined = run(fallen).pours
        if len(refined) == 1:
            pairs.append((fallen, refined[0]))
        wrong += len(ran.pours) != 1 or len(refined) != 1
        steady = (ran.settled_s > one.start_s + 1.0) & (ran.settled_s < one.stop_s - 0.6)
        off = ran.settled_flows[steady] - one.flow_at(ran.settled_s[steady])
        covered.append(np.abs(off) < 1.96 * ran.settled_errors[steady])
        steady = (ran.times_s > one.start_s + 1.0) & (ran.times_s < one.stop_s - 0.6)
        off = ran.flows[steady] - one.flow_at(ran.times_s[steady])
        flow_covered.append(np.abs(off) < 1.96 * ran.flow_errors[steady])
    print(
        f"  '{hand}': start reported {1000 * np.mean(starts):.0f} ms after first water"
        f" (p95 {1000 * np.quantile(starts, 0.95):.0f}),"
        f" {1000 * np.mean(middles):.0f} ms after half the flow"
        f" (p95 {1000 * np.quantile(middles, 0.95):.0f};"
        f" a difference over 1 s above 1 g/s: {1000 * np.mean(reader):.0f}"
        f" and {1000 * np.quantile(reader, 0.95):.0f});"
        f" stop reported {1000 * np.mean(stops):.0f} ms after last water"
        f" (p95 {1000 * np.quantile(stops, 0.95):.0f});"
        f" {wrong} of {len(sizes.edges)} not reported as one pour"
    )
    _print_coverage(pairs)
    print(
        f"      flow now: 95 % interval holds {100 * np.mean(np.concatenate(flow_covered)):.1f} %;"
        f" 0.2 s late: {100 * np.mean(np.concatenate(covered)):.1f} %"
    )


def _half_s(one: Brew) -> float:
    """When flow first passes half of what it is half a second after the start."""
    half = 0.5 * float(one.flow_at(one.start_s + 0.5))
    after = (one.fine_s >= one.start_s) & (one.fine_flow >= half)
    return float(one.fine_s[after][0])


def _stopwatch_s(one: Brew) -> float:
    """When a difference over 1 s, as a reader with a stopwatch takes it, first passes 1 g/s."""
    count = round(one.rate_hz)
    times_s = one.times_s[count:]
    flow = (one.grams[count:] - one.grams[:-count]) / (times_s - one.times_s[:-count])
    return float(times_s[(flow > 1.0) & (times_s >= one.start_s)][0])


def _print_coverage(pairs: Sequence[tuple[Brew, Pour]]) -> None:
    rows: dict[str, list[tuple[float, float]]] = {}
    for one, pour in pairs:
        true_g = float(one.fine_mass[-1])
        true_s = one.stop_s - one.start_s
        for name, off, error in (
            ("start, ms", 1000 * (pour.start_s - one.start_s), 1000 * (pour.start_error_s or 0)),
            ("end, ms", 1000 * ((pour.end_s or 0) - one.stop_s), 1000 * (pour.end_error_s or 0)),
            ("mass, g", (pour.mass_g or 0) - true_g, pour.mass_error_g or 0),
            (
                "mean flow, g/s",
                (pour.mean_flow_gps or 0) - true_g / true_s,
                pour.mean_flow_error_gps or 0,
            ),
            ("flow_cv", (pour.flow_cv or 0) - one.true_cv(), pour.flow_cv_error or 0),
        ):
            rows.setdefault(name, []).append((off, error))
    for name, values in rows.items():
        off, error = np.array(values).T
        print(
            f"      {name:15} bias {off.mean():+8.4f}  rms {np.sqrt(np.mean(off**2)):8.4f}"
            f"  stated {np.sqrt(np.mean(error**2)):8.4f}"
            f"  95 % interval holds {100 * np.mean(np.abs(off) < 1.96 * error):.1f} %"
        )


def _print_false(scale: Scale, sizes: Sizes) -> None:
    provisional = confirmed = 0
    records = max(int(sizes.rest_hours * 3600.0 / RECORD_S), 1)
    for seed in range(550_000, 550_000 + records):
        ran = run(touched_rest(seed, scale, RECORD_S, TOUCHES_PER_H))
        provisional += int(np.sum(ran.pouring[1:] & ~ran.pouring[:-1]))
        confirmed += len(ran.pours)
    hours = records * RECORD_S / 3600.0
    print(
        f"  rest with {TOUCHES_PER_H:.0f} touches an hour: {provisional / hours:.1f} starts"
        f" reported and retracted, {confirmed / hours:.1f} pours kept, an hour ({hours:.0f} h)"
    )


def _print_stalls(sizes: Sizes) -> None:
    """Collapse of 75 to 100 % for 1 to 2.5 s, reported when the settled flow is below 0.35 of the
    pour's mean so far; the delay counts from the moment the true flow is."""
    print("\nStalls: settled flow under 0.35 of the pour's mean so far")
    for name, scale in (("A", A), ("B", B)):
        delays, found, total = [], 0, 0
        for seed in sizes.edges[:100]:
            one, from_s, to_s = _stalled(seed, scale)
            ran = run(one)
            mean = float(one.mass_at(from_s)) / (from_s - one.start_s)
            true = one.fine_s[(one.fine_s > from_s) & (one.fine_flow < 0.35 * mean)]
            total += 1
            # A settled value is reported LAG after what it is about.
            low = ran.settled_s[
                (ran.settled_s > from_s - 0.1)
                & (ran.settled_s < to_s)
                & (ran.settled_flows < 0.35 * mean)
            ]
            if len(low):
                found += 1
                delays.append(float(low[0]) + 0.2 + 0.016 - float(true[0]))
        print(
            f"  {name}: {found} of {total} found, reported {1000 * np.mean(delays):.0f} ms late"
            f" (p95 {1000 * np.quantile(delays, 0.95):.0f})"
        )


def _stalled(seed: int, scale: Scale) -> tuple[Brew, float, float]:
    one = brew(seed, scale, pour_s=(10.0, 14.0), cv=(0.07, 0.15))
    rng = np.random.default_rng([seed, 17])
    from_s = one.start_s + rng.uniform(3.5, 5.5)
    to_s = from_s + rng.uniform(1.0, 2.5)
    edge = 0.15
    gate: Array = np.clip((one.fine_s - from_s) / edge, 0, 1) * np.clip(
        (to_s - one.fine_s) / edge, 0, 1
    )
    flow = one.fine_flow * (1.0 - rng.uniform(0.75, 1.0) * gate)
    mass = np.concatenate(([0.0], np.cumsum(0.5 * (flow[1:] + flow[:-1])) / FINE_HZ))
    return weigh(rng, scale, one.fine_s, flow, mass, one.start_s, one.stop_s), from_s, to_s
