"""Whole brews of the project's own simulator, which nothing here was tuned on: bed, drawdown,
slosh, first impact, 1/f noise, creep and all; pours found and how well they are known.

Its truth is what leaves the spout. Water weighs only once it has fallen, 0.1 s and more later, and
what evaporates during a pour is never weighed: biases of start and mass are those. A jet that
falls for a time T shows a swing of the flow larger than it is, by (ωT)²/2: 16 % at 0.7 Hz and
0.13 s; that is in the weight, so it is in flow_cv.
"""

from dataclasses import replace

import numpy as np

from pourcoach.brewing.pour_plan import PlanRequest, work_out
from pourcoach.estimation.estimator import Estimator
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.scale_model import USUAL_SCALE
from pourcoach.simulation.ticks import TICK_S
from tests.benchmarks.estimation.sizes import Sizes

HANDS = ("steady", "unsteady", "hasty")
SCALES = (
    ("10 Hz, 0.1 g, cable", USUAL_SCALE),
    ("80 Hz, 0.01 g, cable", replace(USUAL_SCALE, rate_hz=80.0, resolution_g=0.01, noise_g=0.05)),
    (
        "10 Hz, radio: bursts, loss, numbered",
        replace(USUAL_SCALE, burst_s=0.03, jitter_s=0.01, loss=0.01, tells_sequence=True),
    ),
    ("10 Hz, touched", replace(USUAL_SCALE, touches_per_min=6.0)),
)


def print_tables(sizes: Sizes) -> None:
    """One line a scale, over all hands and seeds."""
    print("\nWhole simulated brews: pours found, and refined pours less what left the spout")
    plan = work_out(PlanRequest()).plan
    for name, scale in SCALES:
        true = found = extra = 0
        rows, squares = [], []
        for seed in sizes.brews:
            for hand in HANDS:
                brew = SimulatedBrew(plan, hand, seed, scale)
                readings = brew.run()
                delay_s = scale.latency_s + 0.016
                estimator = Estimator(delay_s)
                spout = np.array(brew.truth.spout_gps)
                for reading in readings:
                    e = estimator.feed(reading)
                    if e.settled is not None:
                        index = min(int(e.settled.t_s / TICK_S), len(spout) - 1)
                        if spout[index] > 0.0:
                            squares.append((e.settled.flow_gps - spout[index]) ** 2)
                pours = list(estimator.close(readings[-1].t_s).pours)
                true += len(brew.truth.pours)
                for pour in brew.truth.pours:
                    near = [p for p in pours if abs(p.start_s - pour.start_s) < 0.5]
                    if len(near) != 1 or near[0].start_error_s is None:
                        continue
                    found += 1
                    told = near[0]
                    pours.remove(told)
                    rows.append(
                        (
                            (told.start_s - pour.start_s, told.start_error_s),
                            ((told.end_s or 0.0) - pour.end_s, told.end_error_s or 0.0),
                            ((told.mass_g or 0.0) - (pour.end_g - pour.start_g), told.mass_error_g),
                            (
                                (told.flow_cv or 0.0) - (pour.flow_cv or 0.0),
                                told.flow_cv_error if pour.flow_cv else None,
                            ),
                        )
                    )
                extra += len(pours)
        print(f"  {name}: {found} of {true} found, {extra} more; settled flow rmse", end=" ")
        print(f"{np.sqrt(np.mean(squares)):.3f} g/s")
        for column, what in enumerate(("start, s", "end, s", "mass, g", "flow_cv")):
            pairs = np.array([row[column] for row in rows if row[column][1] is not None], float)
            off, error = pairs.T
            about = off - off.mean()
            print(
                f"      {what:9} bias {off.mean():+.4f}  about it: rms {about.std():.4f}"
                f"  median {np.median(np.abs(about)):.4f}"
                f"  95 % interval holds {100 * np.mean(np.abs(about) < 1.96 * error):.0f} %"
            )
