"""Flow inside pours: ours, what else one could do, and the limit."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pourcoach.estimation.stamps.sample_clock import SampleClock
from tests.benchmarks.estimation.limit import Limit
from tests.benchmarks.estimation.ours import PLATFORM_DELAY_S, run
from tests.benchmarks.estimation.population import (
    HANDS,
    A,
    Array,
    B,
    Brew,
    Scale,
    brew,
    touch_times,
    touched,
)
from tests.benchmarks.estimation.rivals import (
    Rival,
    constant_velocity,
    difference,
    inside_errors,
    rmse,
    savitzky_golay,
)
from tests.benchmarks.estimation.sizes import Sizes
from tests.benchmarks.estimation.transport import WAYS, deliver

LAG_S = 0.2
RATES_HZ = (10.0, 20.0, 40.0, 80.0)
NOISES_G = (0.03, 0.05, 0.15)


def scale_of(rate_hz: float, noise_g: float) -> Scale:
    """Slow scales show tenths, fast ones hundredths."""
    return Scale(rate_hz, noise_g, 0.1 if rate_hz <= 20.0 else 0.01)


@dataclass(frozen=True)
class Cell:
    """Root mean square errors, g/s."""

    limit: float
    ours: float
    velocity: float
    golay: float
    difference: float


def print_tables(sizes: Sizes) -> None:
    """All about flow."""
    for hand in HANDS:
        for lag_s, title in ((0.0, "now"), (LAG_S, "0.2 s late")):
            print(f"\nFlow {title}, hand '{hand}': RMSE inside pours, g/s, and ratio to the limit")
            print(
                f"{'Hz':>4} {'noise g':>8} {'limit':>7} {'ours':>13} {'velocity K.':>13}"
                f" {'Sav.-Golay':>13} {'1 s diff.':>13}"
            )
            for rate_hz in sizes.rates_hz:
                for noise_g in sizes.noises_g:
                    cell = _cell(scale_of(rate_hz, noise_g), hand, lag_s, sizes)
                    values = (cell.ours, cell.velocity, cell.golay, cell.difference)
                    print(
                        f"{rate_hz:4.0f} {noise_g:8.2f} {cell.limit:7.3f}"
                        + "".join(f" {v:6.3f} ×{v / cell.limit:5.2f}" for v in values)
                    )
    _print_ways(sizes)
    _print_touches(sizes)
    _print_rest(sizes)
    _print_step()


def _cell(scale: Scale, hand: str, lag_s: float, sizes: Sizes) -> Cell:
    tuning = [brew(s, scale, hand) for s in sizes.tuning]
    reporting = [brew(s, scale, hand) for s in sizes.reporting]
    limit = Limit(tuning, lag_s + PLATFORM_DELAY_S)
    few = tuning[: sizes.rival_tuning]
    points = [max(3, round(scale.rate_hz * span_s)) for span_s in (0.2, 0.3, 0.4, 0.6, 0.8)]
    golay = _best(
        [savitzky_golay(n, order, lag_s) for n in points for order in (1, 2) if n > order], tuning
    )
    velocity = _best([constant_velocity(d, scale.sigma_g, lag_s) for d in (3.0, 10.0, 30.0)], few)
    return Cell(
        limit=rmse([limit.errors(b) for b in reporting]),
        ours=rmse([_our_errors(b, lag_s) for b in reporting]),
        velocity=_rmse_of(velocity, reporting),
        golay=_rmse_of(golay, reporting),
        difference=_rmse_of(difference(1.0), reporting),
    )


def _our_errors(one: Brew, lag_s: float) -> Array:
    ran = run(one)
    if lag_s:
        return inside_errors(one, ran.settled_s, ran.settled_flows)
    return inside_errors(one, ran.times_s, ran.flows)


def _rmse_of(rival: Rival, brews: Sequence[Brew]) -> float:
    errors = []
    for one in brews:
        times, flows = rival(one)
        errors.append(inside_errors(one, times - PLATFORM_DELAY_S, flows))
    return rmse(errors)


def _best(rivals: Sequence[Rival], brews: Sequence[Brew]) -> Rival:
    return min(rivals, key=lambda rival: _rmse_of(rival, brews))


def _print_ways(sizes: Sizes) -> None:
    for name, scale in (("A: 10 Hz, 0.03 g, steps of 0.1 g", A), ("B: 80 Hz, 0.05 g", B)):
        tuning = [brew(s, scale) for s in sizes.tuning]
        reporting = [brew(s, scale) for s in sizes.reporting]
        limits = [
            rmse([Limit(tuning, lag + PLATFORM_DELAY_S).errors(b) for b in reporting])
            for lag in (0.0, LAG_S)
        ]
        print(f"\nThe way, scale {name}: stamps off by (sd, ms), flow RMSE and ratio to the limit")
        for way in WAYS:
            stamps, live, lagged = [], [], []
            for seed, one in zip(sizes.reporting, reporting, strict=True):
                weighed, readings = deliver(one, way, seed)
                off = _stamps_off(weighed, readings)
                stamps.append(off - off.mean())
                ran = run(one, readings, delay_s=float(np.median(off)))
                live.append(inside_errors(one, ran.times_s, ran.flows))
                lagged.append(inside_errors(one, ran.settled_s, ran.settled_flows))
            values = (rmse(live), rmse(lagged))
            print(
                f"  {way.name:34} {1000 * rmse(stamps):6.1f}   now {values[0]:.3f}"
                f" ×{values[0] / limits[0]:.2f}   0.2 s late {values[1]:.3f}"
                f" ×{values[1] / limits[1]:.2f}"
            )


def _stamps_off(weighed: Sequence[float], readings: Sequence) -> Array:
    """Stamp less truth, once the clock has had five seconds; its mean is the constant delay."""
    clock = SampleClock()
    pairs = [(clock.stamp(r), t) for t, r in zip(weighed, readings, strict=True)]
    return np.array([s - t for s, t in pairs if s is not None and t > 5.0])


def _print_touches(sizes: Sizes) -> None:
    print("\nTouches, 12 a minute: flow RMSE over the whole record, g/s")
    for name, scale in (("A", A), ("B", B)):
        ours, differences = [], []
        for seed in sizes.reporting:
            one = touched(seed, brew(seed, scale), 720.0)
            ran = run(one)
            ours.append(ran.flows - one.flow_at(ran.times_s))
            times, slope = difference(1.0)(one)
            differences.append(slope - one.flow_at(times))
        print(f"  {name}: ours {rmse(ours):.2f}   1 s difference {rmse(differences):.2f}")
    assert len(touch_times(np.random.default_rng(0), 600.0, 720.0)) > 60


def _print_rest(sizes: Sizes) -> None:
    print("\nRest: flow shown on a quiet platform, root mean square, g/s")
    for name, scale in (("A", A), ("B", B), ("B, coloured noise", replace(B, colour=0.5))):
        runs = [run(brew(s, scale, rest_s=(30.0, 4.0))) for s in sizes.reporting[:20]]
        rest = [t.flows[(t.times_s > 5.0) & (t.times_s < 29.0)] for t in runs]
        print(f"  {name:20} {rmse(rest):.4f}")


def _print_step() -> None:
    print("\nStep of 6 g/s: on 50 / 90 %, off 50 / 10 %, ms after it; overshoot (means of 40)")
    for name, scale in (("A", A), ("B", B)):
        rows = [_step_response(scale, seed) for seed in range(40)]
        on50, on90, off50, off10, over = np.mean(rows, axis=0)
        print(
            f"  {name}: {1000 * on50:.0f} / {1000 * on90:.0f}, {1000 * off50:.0f} /"
            f" {1000 * off10:.0f}; {100 * over:.0f} %"
        )


def _step_response(scale: Scale, seed: int) -> tuple[float, ...]:
    from tests.benchmarks.estimation.population import FINE_HZ, weigh

    rng = np.random.default_rng([seed, 5])
    fine_s = np.arange(int(20.0 * FINE_HZ)) / FINE_HZ
    start_s, stop_s = 8.0 + rng.uniform(0.0, 0.1), 15.0
    flow = np.where((fine_s >= start_s) & (fine_s < stop_s), 6.0, 0.0)
    mass = np.concatenate(([0.0], np.cumsum(0.5 * (flow[1:] + flow[:-1])) / FINE_HZ))
    ran = run(weigh(rng, scale, fine_s, flow, mass, start_s, stop_s))
    t, q = ran.arrivals_s, ran.flows

    def first(when: Callable[[Array], Array], after_s: float) -> float:
        return float(t[(t >= after_s) & when(q)][0]) - after_s

    early = (t > start_s) & (t < start_s + 1.0)
    return (
        first(lambda f: f >= 3.0, start_s),
        first(lambda f: f >= 5.4, start_s),
        first(lambda f: f <= 3.0, stop_s),
        first(lambda f: f <= 0.6, stop_s),
        float(q[early].max()) / 6.0 - 1.0,
    )
