"""A blow with a flat top is no vessel, whatever water comes under it."""

from random import Random

import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator


@pytest.mark.parametrize("blow_g", [25.0, 40.0])
@pytest.mark.parametrize("lasts_s", [0.35, 0.55])
@pytest.mark.parametrize(("rate_hz", "noise_g"), [(12.5, 0.07), (50.0, 0.13)])
def test_what_a_gush_brings_under_a_blow_is_water(
    rate_hz: float, noise_g: float, lasts_s: float, blow_g: float
) -> None:
    for seed in range(2):
        chance, estimator, water_g = Random(seed), Estimator(), 0.0
        begins_s = 12.0 + seed * 0.37 / rate_hz
        for number in range(round(20.0 * rate_hz)):
            t_s = number / rate_hz
            flow_gps = 14.0 if 11.95 <= t_s < 13.1 else 6.5 if 5.0 <= t_s < 17.0 else 0.0
            water_g += flow_gps / rate_hz
            share = min(t_s - begins_s, begins_s + lasts_s - t_s) / lasts_s * 8.0
            grams = water_g + blow_g * min(max(share, 0.0), 1.0) + chance.gauss(0.0, noise_g)
            estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 2)))
        assert estimate.mass_g == pytest.approx(water_g, abs=1.0)
        kinds = {event.kind for event in estimate.events}
        assert not kinds & {EventKind.PLACED, EventKind.LIFTED}
