"""Whole brews of the project's own simulator, which nothing here was tuned on: bed, drawdown,
slosh, first impact, 1/f noise, creep and all; pours found and how well they are known.

Its truth is what leaves the spout, and a scale does not weigh that. The fit knows that water falls
and pushes; what is left of the biases was found by switching one thing off at a time:

* What evaporates during a pour is never weighed: without vapour, creep and warming the mass is off
  by +0.03 g, with them by -0.16 g.
* Its hands open and close the kettle by a minimum-jerk movement, whose first and last tenths of a
  second bring too little water to be seen; the fit knows straight ramps. With straight ramps, and
  neither fall nor vapour: start +0.002 s, end -0.013 s, mass -0.002 g, flow_cv +0.001.

So beside each bias stands what a scale without any noise would show of these: the same refit, of
the weight as it left the spout (ramps), and as it landed (fall and vapour). The rest is what noise,
slosh, impact and transport do; the stated standard errors are held against it.
"""

from dataclasses import replace

import numpy as np

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.fall import USUAL_FALL, Fall
from pourcoach.domain.pour import Pour
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refit import Refinement
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.jet import Jet
from pourcoach.simulation.scale.scale_model import USUAL_SCALE
from pourcoach.simulation.ticks import TICK_S
from pourcoach.simulation.truth import TruePour, Truth
from tests.benchmarks.estimation.population import Array
from tests.benchmarks.estimation.sizes import Sizes

HANDS = ("steady", "unsteady", "hasty")
SCALES = (
    ("10 Hz, 0.1 g, cable", USUAL_SCALE),
    ("80 Hz, 0.01 g, cable", replace(USUAL_SCALE, rate_hz=80.0, resolution_g=0.01, noise_g=0.05)),
    (
        "10 Hz, radio: bursts, loss, numbered",
        replace(USUAL_SCALE, burst_s=0.03, jitter_s=0.01, loss=0.01, sends_sequence=True),
    ),
    ("10 Hz, touched", replace(USUAL_SCALE, touches_per_min=6.0)),
)
FIGURES = ("start, s", "end, s", "mass, g", "flow_cv")
# A pour is found when both its ends are reported this near; one reported in two is not.
NEAR_S = 0.5
# The weight that a perfect scale would show is read so often.
PERFECT_TICKS = 4
NO_FALL = Fall(0.0, 0.0)
SIDE_S = 2.0


def print_tables(sizes: Sizes) -> None:
    """One line a scale and figure, over all hands and seeds."""
    print("\nWhole simulated brews: pours found, and refined pours less what left the spout")
    plan = work_out(PlanRequest()).plan
    for name, scale in SCALES:
        true = found = extra = 0
        rows: list[Array] = []
        squares: list[float] = []
        for seed in sizes.brews:
            for hand in HANDS:
                brew = SimulatedBrew(plan, hand, seed, scale)
                readings = brew.run()
                estimator = Estimator(scale.latency_s + 0.016)
                spout = np.array(brew.truth.spout_gps)
                for reading in readings:
                    e = estimator.feed(reading)
                    if e.settled is not None:
                        index = min(int(e.settled.t_s / TICK_S), len(spout) - 1)
                        if spout[index] > 0.0:
                            squares.append((e.settled.flow_gps - spout[index]) ** 2)
                pours = list(estimator.close(readings[-1].t_s).pours)
                true += len(brew.truth.pours)
                poured, landed = _poured(brew.truth), _landed(brew.truth)
                for index, pour in enumerate(brew.truth.pours):
                    near = [
                        p
                        for p in pours
                        if abs(p.start_s - pour.start_s) < NEAR_S
                        and abs((p.end_s or 0.0) - pour.end_s) < NEAR_S
                    ]
                    if len(near) != 1 or near[0].start_error_s is None:
                        continue
                    found += 1
                    pour_found = near[0]
                    pours.remove(pour_found)
                    ramps = _perfect(brew.truth, index, poured, NO_FALL)
                    lands = _perfect(brew.truth, index, landed, USUAL_FALL)
                    rows.append(
                        np.stack(
                            (
                                _off(found, pour),
                                _errors(found),
                                _off(ramps, pour),
                                _off(lands, pour),
                            )
                        )
                    )
                extra += len(pours)
        print(f"  {name}: {found} of {true} found, {extra} more; settled flow rmse", end=" ")
        print(f"{np.sqrt(np.mean(squares)):.3f} g/s")
        _print_figures(np.stack(rows))


def _print_figures(rows: Array) -> None:
    """Of pours, each with (off, error, off by ramps alone, off by all that is in the weight)."""
    for column, what in enumerate(FIGURES):
        every = rows[:, :, column]
        off, error, ramps, lands = every[np.isfinite(every).all(axis=1)].T
        rest = off - lands
        print(
            f"      {what:9} bias {off.mean():+.4f} (ramps {ramps.mean():+.4f}, fall and vapour"
            f" {(lands - ramps).mean():+.4f}), rms about it {off.std():.4f}; the rest: bias"
            f" {rest.mean():+.4f}, rms {np.sqrt(np.mean(rest**2)):.4f}, median"
            f" {np.median(np.abs(rest)):.4f}, 95 % interval holds"
            f" {100 * np.mean(np.abs(rest) < 1.96 * error):.0f} %"
        )


def _off(found: Pour, true: TruePour) -> Array:
    """Reported less true, by ``FIGURES``; nan where one of them is not reported."""
    return np.array(
        [
            found.start_s - true.start_s,
            np.nan if found.end_s is None else found.end_s - true.end_s,
            np.nan if found.mass_g is None else found.mass_g - (true.end_g - true.start_g),
            np.nan
            if found.flow_cv is None or true.flow_cv is None
            else found.flow_cv - true.flow_cv,
        ]
    )


def _errors(found: Pour) -> Array:
    errors = (found.start_error_s, found.end_error_s, found.mass_error_g, found.flow_cv_error)
    return np.array([np.nan if error is None else error for error in errors])


def _poured(truth: Truth) -> Array:
    """Water that has left the spout, at the beginning of each tick."""
    return np.array(truth.poured)


def _landed(truth: Truth) -> Array:
    """What weighs of it: water that has landed, with its push, less what has evaporated."""
    jet, weights = Jet(), [0.0]
    for spout_gps, poured_g in zip(truth.spout_gps, truth.poured[1:], strict=True):
        jet.step(spout_gps)
        weights.append(poured_g - jet.in_flight_g + jet.push_g)
    at_s = [balance.t_s for balance in truth.balances]
    evaporated = [balance.evaporated_g for balance in truth.balances]
    return np.array(weights) - np.interp(TICK_S * np.arange(len(weights)), at_s, evaporated)


def _perfect(truth: Truth, index: int, weights: Array, fall: Fall) -> Pour:
    """A pour refined from a weight without noise, of water that falls for so long."""
    true = truth.pours[index]
    record = Record(fall)
    first = max(int((true.start_s - SIDE_S) / TICK_S), 0)
    last = min(int((true.end_s + SIDE_S) / TICK_S), len(weights))
    for tick in range(first, last, PERFECT_TICKS):
        record.append(tick * TICK_S, float(weights[tick]))
    before_s = truth.pours[index - 1].end_s + 0.2 if index else 0.0
    after_s = (
        truth.pours[index + 1].start_s if index + 1 < len(truth.pours) else true.end_s + SIDE_S
    )
    live = Pour(true.start_s, true.start_g, true.end_s, float(weights[last - 1]))
    return Refinement(live, record, TraitsLearner(), (before_s, after_s)).finish()
