"""Settled values of readings that were held back come late, and none is left out."""

from itertools import pairwise
from random import Random

import pytest

from pourcoach.domain.estimate import Settled
from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator


def surged(rate_hz: float, off_g: dict[float, float]) -> list[Settled]:
    """Settled values of a pour of 5 g/s that surges to 14 g/s from 9.0 to 10.3 s, with readings
    that are off by so much at these moments."""
    chance, estimator, settled = Random(2), Estimator(), []
    weight_g = 0.0
    for number in range(round(20.0 * rate_hz)):
        t_s = number / rate_hz
        flow_gps = 14.0 if 9.0 <= t_s < 10.3 else 5.0 if 5.0 <= t_s < 15.0 else 0.0
        weight_g += flow_gps / rate_hz
        grams = weight_g + chance.gauss(0.0, 0.05) + off_g.get(round(t_s, 3), 0.0)
        estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 2)))
        settled += estimate.late
        if estimate.settled is not None:
            settled.append(estimate.settled)
        else:
            assert estimate.late == ()
    return settled


@pytest.mark.parametrize("off_g", [-30.0, -2.6, 12.0])
@pytest.mark.parametrize(("rate_hz", "step_s"), [(8.0, 0.125), (10.0, 0.1), (20.0, 0.05)])
def test_a_surge_is_seen_whole_though_readings_in_it_are_spikes(
    rate_hz: float, step_s: float, off_g: float
) -> None:
    first_s = round(9.0 + 3 * step_s, 3)
    settled = surged(rate_hz, {first_s: off_g})
    times_s = [one.t_s for one in settled]
    assert times_s == sorted(set(times_s))
    inside = [one for one in settled if 8.5 < one.t_s < 10.8]
    assert max(b.t_s - a.t_s for a, b in pairwise(inside)) < 2.5 * step_s
    risen = [one.flow_gps for one in settled if 9.3 < one.t_s < 10.1]
    assert len(risen) >= 0.8 / step_s - 2
    assert min(risen) > 1.7 * 5.0
