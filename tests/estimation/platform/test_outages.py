"""What comes, or runs on, while no readings arrive."""

import numpy as np
import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.inputs import Silence
from pourcoach.estimation.estimator import Estimator
from tests.estimation.conftest import Bench
from tests.estimation.platform.handled import UNTIL_S, WATER_G, kinds, water


@pytest.mark.parametrize("lasts_s", [1.0, 4.0, 12.0])
@pytest.mark.parametrize("from_s", [3.0, 7.0, 11.0, 20.0])
def test_an_outage_anywhere_loses_no_water(from_s: float, lasts_s: float) -> None:
    bench, estimator = Bench(20.0, 0.04, 0.05), Estimator()
    for reading in bench.weigh(water, UNTIL_S, 0.1):
        if not from_s < reading.t_s < from_s + lasts_s:
            estimator.feed(reading)
        elif round(reading.t_s * 20) % 10 == 2:
            estimator.feed(Silence(reading.t_s))
    estimate = estimator.close(UNTIL_S)
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)
    assert len(estimate.pours) == 2


@pytest.mark.parametrize("drums_g", [0.0, 0.06, 0.12])
@pytest.mark.parametrize("lasts_s", [2.0, 8.0, 14.0])
@pytest.mark.parametrize("rate_hz", [20.0, 80.0])
def test_water_that_runs_on_unseen_is_no_vessel(
    rate_hz: float, lasts_s: float, drums_g: float
) -> None:
    bench, estimator, rng = Bench(rate_hz, 0.015, 0.01), Estimator(), np.random.default_rng(3)

    def drumming(times: np.ndarray) -> np.ndarray:
        runs = (times > 5.0) & (times < 35.0)
        return 5.0 * (np.clip(times, 5.0, 35.0) - 5.0) + drums_g * runs * rng.normal(
            size=len(times)
        )

    for reading in bench.weigh(drumming, 40.0, 0.1):
        if not 15.0 < reading.t_s < 15.0 + lasts_s:
            estimator.feed(reading)
    estimate = estimator.close(40.0)
    assert estimate.unbroken_g == pytest.approx(150.0, abs=1.0)
    assert len(estimate.pours) == 1


@pytest.mark.parametrize("from_s", [5.0, 5.1, 5.2])
def test_a_pour_that_begins_and_ends_in_an_outage_is_found(from_s: float) -> None:
    bench, estimator = Bench(10.0, 0.04, 0.05), Estimator()
    for reading in bench.weigh(lambda t: 7.0 * (np.clip(t, 5.0, 10.8) - 5.0), 30.0, 0.1):
        if not from_s < reading.t_s < 10.7:
            estimator.feed(reading)
    (pour,) = estimator.close(30.0).pours
    assert pour.mass_g == pytest.approx(40.6, abs=1.0)


@pytest.mark.parametrize("swings_gps", [0.0, 2.0, 3.0])
@pytest.mark.parametrize(("rate_hz", "noise_g"), [(10.0, 0.02), (10.0, 0.05), (20.0, 0.02)])
def test_water_that_began_unseen_and_runs_fast_as_the_readings_return_is_no_vessel(
    rate_hz: float, noise_g: float, swings_gps: float
) -> None:
    """Unseen from 5 to 15 s; water since 11 s at 6 g/s, in swings 1.7 s long of which one is at its
    top at 15 s: the first step is larger than the mean flow of the ten seconds would make it."""
    swing_s = 1.0 / 0.6

    def swinging(times: np.ndarray) -> np.ndarray:
        ran_s, phase = np.clip(times - 11.0, 0.0, 16.0), 2.0 * np.pi / swing_s
        swung = np.sin(phase * (ran_s - 4.0)) + np.sin(phase * 4.0)
        return 6.0 * ran_s + swings_gps / phase * swung

    bench, estimator = Bench(rate_hz, noise_g, 0.1), Estimator()
    for reading in bench.weigh(swinging, 35.0, 0.1):
        if not 5.0 < reading.t_s < 15.0:
            estimator.feed(reading)
    estimate = estimator.close(35.0)
    assert estimate.unbroken_g == pytest.approx(96.0, abs=1.5)
    assert kinds(estimate) == {EventKind.OUTAGE, EventKind.UNSEEN_WATER}
