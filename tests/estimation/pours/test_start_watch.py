import math

import numpy as np
import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Pour
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.start_watch import StartWatch, risen_from, sloshes
from tests.benchmarks.estimation.population import A, brew

PERIOD_S = 0.0625
REST = [0.0] * 20


def reported_after(rise, *, touched_at=None, probability=0.95, flow_gps=4.0, rise_gps2=0.0):
    """How many readings of the rise it takes until a pour is reported; None if it never is."""
    record = Record()
    watch = StartWatch(record, TraitsLearner())
    for index, grams in enumerate([*REST, *rise]):
        t_s = index * PERIOD_S
        up = index - len(REST) + 1
        if up == touched_at:
            watch.touched(t_s)
            continue
        record.append(t_s, grams)
        watch.see(t_s, probability if up > 0 else 0.0, flow_gps, rise_gps2, grams)
        if watch.has_begun(t_s, grams, -math.inf):
            return up
    return None


def line(slope_gps, count=12):
    return [slope_gps * PERIOD_S * (i + 1) for i in range(count)]


@pytest.mark.parametrize(
    ("rise", "expected"),
    [
        pytest.param(line(4.0), 3, id="as a pour"),
        pytest.param([0.05, 0.2, 0.45, 0.7, 0.95, 1.2], 3, id="as a pour that ramps up"),
        pytest.param(line(1.0), 5, id="slower than first water: once sure"),
        pytest.param(line(15.0), 5, id="faster than first water: once sure"),
        pytest.param([0.3, 0.4, 0.3, 0.1], None, id="does not go on"),
        pytest.param([0.1, 0.15, 0.15, 0.15, 0.15, 0.15], None, id="too little"),
    ],
)
def test_rise_is_reported(rise, expected):
    assert reported_after(rise) == expected


def test_unlikely_rise_is_never_reported():
    assert reported_after(line(4.0), probability=0.8) is None


def test_rise_with_too_little_flow_is_never_reported():
    assert reported_after(line(4.0), flow_gps=0.9) is None
    assert reported_after(line(4.0), flow_gps=1.2) is not None


@pytest.mark.parametrize(("steepest_gps", "expected"), [(12.0, 5), (14.0, 25)])
def test_what_begins_steeper_than_water_is_reported_once_it_has_lasted(steepest_gps, expected):
    assert reported_after(line(15.0, count=40), flow_gps=steepest_gps) == expected


@pytest.mark.parametrize(("after_s", "expected"), [(0.55, True), (0.65, False)])
def test_what_swings_on_for_longer_than_slosh_is_water(after_s, expected):
    last = Pour(2.0, 0.0, 10.0, 40.0)
    assert sloshes(10.2 + after_s, 10.2, 40.2, last) is expected


@pytest.mark.parametrize(
    ("t_s", "mass_g", "expected"),
    [(11.9, 40.9, True), (11.9, 41.1, False), (12.1, 40.9, False)],
)
def test_slosh_brings_less_than_a_gram_and_is_over_in_two_seconds(t_s, mass_g, expected):
    last = Pour(2.0, 0.0, 10.0, 40.0)
    assert sloshes(t_s, t_s - 0.1, mass_g, last) is expected


@pytest.mark.parametrize(("ended_g", "from_g"), [(41.0, 41.0), (42.5, 42.5), (50.0, 43.0)])
def test_what_comes_back_up_to_the_last_pour_is_no_water_up_to_five_grams(ended_g, from_g):
    """A hand that pulls leaves the weight no further below where that pour had brought it."""
    last = Pour(2.0, 0.0, 8.0, ended_g)
    assert risen_from(Pour(20.0, 38.0), None, last) == from_g


def test_after_a_touch_only_a_sure_start_is_reported():
    assert reported_after(line(4.0), touched_at=1) == 6


def test_rise_that_soon_is_steeper_than_water_is_not_reported():
    assert reported_after(line(4.0), rise_gps2=28.0) is None
    assert reported_after(line(4.0), rise_gps2=25.5) == 3


def test_rise_that_steepens_is_reported_once_it_has_gone_on_for_longer_than_hands_push():
    assert reported_after(line(4.0, 40), rise_gps2=28.0) == 25


def test_water_may_have_run_since_before_it_was_as_likely_as_not():
    record = Record()
    watch = StartWatch(record, TraitsLearner())
    record.append(1.0, 0.1)
    watch.see(1.0, 0.6, 4.0, 0.0, 0.1)
    assert watch.may_run(0.8)
    assert not watch.may_run(0.7)
    watch.see(1.1, 0.4, 4.0, 0.0, 0.1)
    assert not watch.may_run(1.1)


def test_a_pour_that_begins_as_steep_as_a_push_loses_none_of_its_water():
    """It is reported late; where it began is then looked for where it did."""
    rng = np.random.default_rng(3)
    estimator = Estimator()
    for i in range(280):
        t_s = i / 20.0
        up_s = min(max(t_s - 4.0, 0.0), 6.0)
        grams = 8.0 * up_s + 7.0 * min(up_s, 1.0)
        estimator.feed(Reading(t_s, float(grams + 0.03 * rng.standard_normal())))
    (pour,) = estimator.close(14.0).pours
    assert pour.start_s == pytest.approx(4.0, abs=0.2)
    assert pour.mass_g == pytest.approx(55.0, abs=0.3)


@pytest.mark.parametrize("seed", [530046, 530114, 530147, 530187])
def test_a_hand_that_begins_quickly_is_reported_as_soon_as_another(seed):
    """Its rise steepened for a moment to just above what a kettle gives."""
    one, estimator = brew(seed, A, "strokes"), Estimator(0.016)
    reported_s = next(
        reading.t_s
        for reading in one.readings
        if estimator.feed(reading).pouring and reading.t_s > one.start_s
    )
    assert reported_s - one.start_s < 0.31
