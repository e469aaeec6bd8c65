"""What the way from a scale does to readings: jitter, bursts, loss, repeats, device time."""

from dataclasses import dataclass

import numpy as np

from pourcoach.domain.inputs import Reading
from tests.benchmarks.estimation.population import Brew


@dataclass(frozen=True)
class Way:
    """One way; shares are of readings."""

    name: str
    jitter_s: float = 0.0
    """Mean of an exponential delay; order is kept."""
    burst_s: float = 0.0
    loss: float = 0.0
    repeats: float = 0.0
    """The last weight sent again in place of a new one."""
    doubled: float = 0.0
    """The same reading sent twice."""
    device_time: bool = False
    numbered: bool = False


WAYS = (
    Way("as weighed"),
    Way("jitter 30 ms", jitter_s=0.03),
    Way("bursts 100 ms", burst_s=0.1),
    Way("repeats 1 %", repeats=0.01),
    Way("jitter 30 ms, repeats 1 %", jitter_s=0.03, repeats=0.01),
    Way("loss 1 %", loss=0.01),
    Way("jitter, loss 1 %", jitter_s=0.03, loss=0.01),
    Way("jitter, loss 1 %, numbered", jitter_s=0.03, loss=0.01, numbered=True),
    Way("bursts, loss, doubled, numbered", burst_s=0.1, loss=0.01, doubled=0.01, numbered=True),
    Way("jitter, loss, device time", jitter_s=0.03, loss=0.01, device_time=True),
)
# The device's crystal against ours (50 parts in 10**6 is usual).
SKEW = 1.00005

# Off the grid of the readings, so that none falls on the edge of a burst by rounding.
BURST_PHASE_S = 0.0012


def deliver(brew: Brew, way: Way, seed: int) -> tuple[list[float], list[Reading]]:
    """When each arriving reading was weighed, and the reading as it arrived."""
    rng = np.random.default_rng([seed, 13])
    weighed, readings, last_s, before_g = [], [], 0.0, None
    for index, (t, g) in enumerate(zip(brew.times_s, brew.grams, strict=True)):
        arrives_s = t + 0.005 + (rng.exponential(way.jitter_s) if way.jitter_s else 0.0)
        if way.burst_s:
            bursts = np.ceil((arrives_s - BURST_PHASE_S) / way.burst_s)
            arrives_s = bursts * way.burst_s + BURST_PHASE_S + rng.exponential(0.0003)
        if rng.uniform() < way.loss:
            continue
        last_s = round(max(arrives_s, last_s), 4)
        repeated = rng.uniform() < way.repeats and before_g is not None
        before_g = before_g if repeated else float(g)
        reading = Reading(
            float(last_s),
            before_g,
            round(float(t) * SKEW + 5.0, 3) if way.device_time else None,
            index % 65536 if way.numbered else None,
        )
        for _ in range(1 + (rng.uniform() < way.doubled)):
            weighed.append(float(t))
            readings.append(reading)
    return weighed, readings
