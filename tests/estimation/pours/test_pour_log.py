"""Pours begin, are confirmed or taken back, end, and are refined: on whole signals."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.signal import lfilter

from pourcoach.domain.estimate import Disturbance, EventKind
from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator
from tests.benchmarks.estimation.cells import WAYS
from tests.benchmarks.estimation.population import Scale
from tests.benchmarks.estimation.steadiness import pours as drumming_pours

# Of pours that are knocked twice, with the rates of their scales and their drumming: a blow as they
# begin, which leaves the first water unseen, and one more as they end; a blow that rises as slowly
# as water rushes.
KNOCKED = (
    (2_400_952_294, 20.0, 0.012),
    (3_766_502_941, 20.0, 0.05),
    (973_934_085, 100.0, 0.05),
    (2_802_858_836, 100.0, 0.024),
)
# Of pours that are reported in two parts, with the rates of their scales: the flow of the first all
# but stops, the second is knocked twice at once.
PARTED = (424_613_008, 10.0), (700_246, 20.0)


def run(weight, until_s=30.0, rate_hz=80.0, sigma=0.05, seed=3):
    t = np.arange(int(until_s * rate_hz)) / rate_hz
    grams = weight(t) + sigma * np.random.default_rng(seed).standard_normal(len(t))
    estimator = Estimator()
    seen = [estimator.feed(Reading(float(a), float(g))) for a, g in zip(t, grams, strict=True)]
    return seen, estimator.close(until_s).pours


def pour(t):
    return 6.0 * (np.clip(t, 5.0, 12.0) - 5.0)


def test_slosh_after_the_stop_is_no_pour():
    def weight(t):
        since = np.maximum(t - 12.0, 0.0)
        return pour(t) + np.where(t > 12.0, 1.0 * np.exp(-since / 0.5) * np.sin(12.0 * since), 0.0)

    seen, pours = run(weight, seed=0)
    assert [p.mass_g for p in pours] == [pytest.approx(42.0, abs=0.3)]
    assert sum(now.pouring and not before.pouring for before, now in pairwise(seen)) == 1


def test_a_dip_at_the_first_impact_neither_hides_nor_splits_the_pour():
    def weight(t):
        return pour(t) - 0.8 * np.sin(np.pi * np.clip((t - 5.1) / 0.15, 0.0, 1.0))

    _, pours = run(weight)
    assert [p.mass_g for p in pours] == [pytest.approx(42.0, abs=0.3)]


@pytest.mark.parametrize(("stops_s", "pours"), [(0.45, 1), (0.65, 2)])
def test_water_that_goes_on_within_half_a_second_had_not_stopped(stops_s, pours):
    def weight(t):
        return pour(t) + 6.0 * (np.clip(t, 12.0 + stops_s, 16.0) - 12.0 - stops_s)

    for seed in range(3):
        assert len(run(weight, until_s=24.0, seed=seed)[1]) == pours


@pytest.mark.parametrize(
    ("rate_hz", "knock_g", "flow_gps"), [(40.0, 4.0, 4.0), (80.0, 4.0, 6.0), (100.0, 5.0, 4.0)]
)
def test_water_that_goes_on_after_a_knock_had_not_stopped(rate_hz, knock_g, flow_gps):
    """It rose as a gush does, and the weight fell at its end, as if all until then were a hand's:
    the one pour ended where the knock began, and another began where it ended."""

    def weight(t):
        knock = knock_g * np.sin(np.pi * np.clip((t - 8.0) / 0.6, 0.0, 1.0))
        return flow_gps * (np.clip(t, 5.0, 12.0) - 5.0) + knock

    for seed in range(2):
        _, pours = run(weight, until_s=24.0, rate_hz=rate_hz, seed=seed)
        assert [p.mass_g for p in pours] == [pytest.approx(7.0 * flow_gps, abs=0.5)]
        assert pours[0].unseen_g < 3.0


@pytest.mark.parametrize(
    "weight",
    [lambda t: -0.02 * t, lambda t: 0.05 * t, lambda t: 0.1 * np.floor(t / 1.5)],
    ids=["evaporation", "a trickle", "drops"],
)
def test_drift_and_drops_are_no_pour(weight):
    seen, pours = run(weight)
    assert pours == ()
    assert sum(e.pouring for e in seen) / len(seen) < 0.05


def test_a_hand_that_leans_and_lets_go_is_taken_back():
    seen, pours = run(
        lambda t: 5.0 * np.clip((t - 10.0) / 1.5, 0, 1) * np.clip((16 - t) / 1.5, 0, 1)
    )
    assert pours == ()
    assert Disturbance.LEAN in {e.disturbance for e in seen}


def test_a_pour_is_refined_once_it_has_rested():
    seen, _ = run(pour)
    live = next(e.pours[0] for e in seen if e.pours and e.pours[0].end_s is not None)
    refined = next(e for e in seen if e.pours and e.pours[0].refined)
    assert not live.refined
    assert live.start_error_s is None
    # Once it has rested for 1.5 s the work begins, and goes on with each reading.
    assert 1.5 < refined.t_s - 12.0 < 3.0
    assert refined.pours[0].start_error_s is not None
    # It changes once more, when the rest has shown what went off as vapour.
    assert seen[-1].pours[0].vapour_g is not None
    assert refined.pours == (replace(seen[-1].pours[0], vapour_g=None),)


@pytest.mark.parametrize("lasts_s", [0.15, 0.2])
@pytest.mark.parametrize("until_s", [11.2, 12.0])
def test_a_pour_confirmed_late_begins_where_it_did(lasts_s, until_s):
    """Water whose drumming holds it up for a moment again and again is sure only after more than a
    second: one of those moments had been taken for the rest before it."""
    t = np.arange(0.0, 24.0, 0.01)
    flow = np.where((t > 10.0) & (t < 20.0), 5.0, 0.0)
    at_first = (t > 10.0) & (t < until_s)
    flow[at_first] = np.where((t[at_first] - 10.0) % (lasts_s + 0.1) < lasts_s, 9.0, 0.0)
    weight = np.cumsum(flow) * 0.01
    _, (pour,) = run(lambda at: np.interp(at, t, weight), until_s=24.0, rate_hz=100.0)
    assert pour.start_s == pytest.approx(9.87, abs=0.1)
    assert pour.mass_g == pytest.approx(weight[-1], abs=0.05)


@pytest.mark.parametrize(("seed", "rate_hz"), PARTED)
def test_a_rise_with_no_rest_before_it_goes_on_with_the_last_pour(seed, rate_hz):
    """A knock, or drumming, had seemed to end it, and the water was likely again only later."""
    scale = Scale(rate_hz, 0.05, 0.01)
    (one,) = drumming_pours([seed], scale, 0.012)
    estimator = Estimator(0.022)
    for reading in WAYS["two knocks"](one, np.random.default_rng([seed, 23])):
        estimator.feed(reading)
    pours = estimator.close(reading.t_s).pours
    assert [pour.mass_g for pour in pours] == [pytest.approx(one.fine_mass[-1], abs=0.5)]


@pytest.mark.parametrize(("seed", "rate_hz", "drumming_s"), KNOCKED)
def test_all_the_water_of_a_pour_that_is_knocked_is_its_own(seed, rate_hz, drumming_s):
    """The first grams were in no pour, or a blow was water that somebody then took away."""
    (one,) = drumming_pours([seed], Scale(rate_hz, 0.05, 0.01), drumming_s)
    estimator = Estimator(0.022)
    for reading in WAYS["two knocks"](one, np.random.default_rng([seed, 23])):
        estimator.feed(reading)
    last = estimator.close(reading.t_s)
    assert [pour.mass_g for pour in last.pours] == [pytest.approx(one.fine_mass[-1], abs=0.5)]
    assert EventKind.LIFTED not in {event.kind for event in last.events}


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
@pytest.mark.parametrize("flow_gps", [11.0, 16.0])
def test_water_that_gushes_is_a_pour_however_fast(rate_hz, flow_gps):
    """At more than a kettle gives it was none, though all of it was counted."""
    _, pours = run(lambda t: flow_gps * (np.clip(t, 5.0, 9.0) - 5.0), rate_hz=rate_hz)
    assert [p.mass_g for p in pours] == [pytest.approx(4.0 * flow_gps, rel=0.02)]


@pytest.mark.parametrize("seed", [11, 24, 28])
def test_a_gush_that_drums_so_hard_that_it_seems_to_rest_for_moments_is_a_pour(seed):
    """Drumming of 0.045 s of flow and 30 ms: a push it was anew after each of them, for four
    seconds, and then its 54 g were none of any pour."""
    rng = np.random.default_rng(seed)
    t = np.arange(3000) / 100.0
    fades = np.exp(-1.0 / (0.03 * 100.0))
    drumming = lfilter(
        [1.0], [1.0, -fades], rng.standard_normal(len(t)) * np.sqrt(1.0 - fades * fades)
    )
    grams = 13.5 * (np.clip(t, 5.0, 9.0) - 5.0) + 0.03 * rng.standard_normal(len(t))
    grams += np.where((t > 5.0) & (t < 9.0), 0.045 * 13.5 * drumming, 0.0)
    estimator = Estimator()
    for reading in map(Reading, t.tolist(), grams.tolist()):
        estimator.feed(reading)
    (pour,) = estimator.close(30.0).pours
    assert pour.mass_g == pytest.approx(54.0, abs=1.0)


@pytest.mark.parametrize(("seed", "flow_gps"), [(44, 11.0), (25, 12.0), (1, 13.0), (28, 13.0)])
def test_the_water_of_a_gush_is_all_of_it_the_pours(seed, flow_gps):
    """At 20 Hz, with drumming of 0.049 s of flow and 45 ms: what came until it was sure, up to 40 g
    of it, was in no pour."""
    rng = np.random.default_rng(seed)
    t = np.arange(4000) / 200.0
    fades = np.exp(-1.0 / (0.045 * 200.0))
    drumming = lfilter([np.sqrt(1.0 - fades * fades)], [1.0, -fades], rng.standard_normal(len(t)))
    flow = flow_gps * np.clip((t - 5.13) / 0.25, 0.0, 1.0) * (t < 9.13)
    grams = np.cumsum(flow) / 200.0 + (0.13 + 0.049 * drumming) * flow
    grams = grams[::10] + 0.03 * rng.standard_normal(400)
    estimator = Estimator()
    for reading in map(Reading, t[::10].tolist(), np.round(grams, 2).tolist()):
        estimator.feed(reading)
    last = estimator.close(20.0)
    assert [pour.mass_g for pour in last.pours] == [pytest.approx(3.875 * flow_gps, abs=0.5)]
    assert not {event.kind for event in last.events} & {EventKind.PLACED, EventKind.LIFTED}


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
def test_a_push_as_steep_that_stays_for_a_moment_is_none(rate_hz):
    seen, pours = run(lambda t: 16.0 * (np.clip(t, 5.0, 6.0) - 5.0) * (t < 8.0), rate_hz=rate_hz)
    assert pours == ()
    assert not any(e.pours for e in seen)


def test_a_pour_whose_end_never_comes_ends_with_the_input():
    _, pours = run(lambda t: 6.0 * np.maximum(t - 5.0, 0.0), until_s=9.0)
    assert len(pours) == 1
    assert pours[0].end_s == pytest.approx(9.0, abs=0.05)
    assert pours[0].mass_g == pytest.approx(24.0, abs=0.3)


def test_a_pour_on_a_coarse_fast_scale_outlasts_a_knock():
    t = np.arange(6000) / 100.0
    grams = 2.7 * (np.clip(t, 5.0, 55.0) - 5.0)
    since = np.maximum(t - 40.0, 0.0)
    grams += np.where(t > 40.0, 60.0 * np.exp(-since / 0.08) * np.cos(40.0 * since), 0.0)
    estimator = Estimator()
    for at_s, g in zip(t, np.round(grams / 0.5) * 0.5, strict=True):
        estimator.feed(Reading(float(at_s), float(g)))
    pours = estimator.close(60.0).pours
    assert sum(p.mass_g for p in pours) == pytest.approx(135.0, abs=2.0)


@pytest.mark.parametrize(("grams", "count"), [(1.7, 0), (2.3, 1)])
def test_a_splash_of_two_grams_is_a_pour(grams, count):
    """It comes within half a second, too soon to be sure while it runs."""
    seen, pours = run(lambda t: 5.0 * np.clip(t - 10.0, 0.0, grams / 5.0))
    assert len(pours) == count
    assert seen[-1].mass_g == pytest.approx(grams, abs=0.1)
