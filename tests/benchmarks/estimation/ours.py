"""The estimator of the project, run over a brew."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Pour
from pourcoach.estimation.estimator import Estimator
from tests.benchmarks.estimation.population import Array, Brew

# The platform of the population is this late: a known constant delay, so it is set.
PLATFORM_DELAY_S = 0.016


@dataclass(frozen=True)
class Run:
    """What the estimator returned, reading by reading."""

    times_s: Array
    flows: Array
    settled_s: Array
    settled_flows: Array
    settled_errors: Array
    flow_errors: Array
    arrivals_s: Array
    pouring: Array
    pours: tuple[Pour, ...]


def run(brew: Brew, readings: Iterable[Reading] | None = None, delay_s: float = 0.0) -> Run:
    """Over the brew's own readings, or over these in their place."""
    estimator = Estimator(PLATFORM_DELAY_S + delay_s)
    live, settled, arrivals = [], [], []
    for reading in brew.readings if readings is None else readings:
        e = estimator.feed(reading)
        live.append((e.t_s, e.flow_gps, e.flow_error_gps, e.pouring))
        arrivals.append(reading.t_s)
        if e.settled is not None:
            settled.append((e.settled.t_s, e.settled.flow_gps, e.settled.flow_error_gps))
    pours = estimator.close(float(arrivals[-1])).pours
    a, s = np.array(live), np.array(settled)
    return Run(
        a[:, 0], a[:, 1], s[:, 0], s[:, 1], s[:, 2], a[:, 2], np.array(arrivals), a[:, 3] > 0, pours
    )  # fmt: skip
