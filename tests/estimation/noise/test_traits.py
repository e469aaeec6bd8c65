"""What is learnt of a scale at rest, against allantools' figure for the same readings."""

import allantools
import numpy as np
import pytest
from scipy.signal import lfilter

from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.noise.traits import TraitsLearner


def learnt(grams: np.ndarray) -> TraitsLearner:
    """Readings about a level of 0 that is known."""
    learner = TraitsLearner()
    for g in grams:
        learner.see(float(g))
        learner.rest([(float(g), 0.0)])
    return learner


def test_white_noise_is_the_allan_deviation_at_one_reading():
    grams = 0.04 * np.random.default_rng(9).standard_normal(2000)
    # Of white noise the Allan deviation at the sampling time is the standard deviation itself
    # (IEEE Std 1139; allantools computes it from the readings).
    _, deviation, _, _ = allantools.oadev(grams, rate=10.0, data_type="freq", taus=[0.1])
    assert learnt(grams).traits(0.1).noise_g == pytest.approx(deviation[0], rel=0.1)


def test_coloured_noise_counts_as_much_as_it_holds_together():
    rho = 0.6
    white = np.random.default_rng(10).standard_normal(4000)
    grams = 0.04 * lfilter([np.sqrt(1 - rho**2)], [1.0, -rho], white)
    # At long times its Allan variance is that of white noise (1 + ρ)/(1 - ρ) times as strong.
    _, deviation, _, _ = allantools.oadev(grams, rate=80.0, data_type="freq", taus=[0.4])
    white_equivalent = deviation[0] ** 2 * 0.4 * 80.0
    assert learnt(grams).noise_var == pytest.approx(white_equivalent, rel=0.35)
    assert learnt(grams[:0]).noise_var < 0.04  # what is believed of an unknown scale


def test_a_coarse_step_is_reported_and_keeps_the_noise_from_vanishing():
    learner = learnt(np.array([0.0] * 40 + [0.1] + [0.0] * 40))
    assert learner.traits(0.1).step_g == pytest.approx(0.1)
    assert learner.noise_var >= 0.1**2 / 12


def test_nothing_is_reported_too_soon():
    traits = learnt(np.zeros(5)).traits(None)
    assert (traits.rate_hz, traits.noise_g, traits.step_g) == (None, None, None)


@pytest.mark.parametrize("creep_gps", [-0.03, -0.01, 0.01])
def test_a_weight_that_creeps_is_no_noise(creep_gps):
    assert np.mean([crept(creep_gps, seed) for seed in (7, 8, 9)]) == pytest.approx(0.05, rel=0.1)


def crept(creep_gps, seed):
    """Noise learnt of 0.05 g on a weight that creeps."""
    rng = np.random.default_rng(seed)
    estimator = Estimator()
    for i in range(1600):
        t_s = i / 20.0
        estimator.feed(Reading(t_s, float(creep_gps * t_s + 0.05 * rng.standard_normal())))
    return estimator.close(80.0).traits.noise_g


@pytest.mark.parametrize("size_g", [0.3, 1.0, 5.0])
def test_slow_touches_at_rest_are_no_noise(size_g):
    """A hand that comes and goes slowly moves the weight by a little before it is seen."""
    rng = np.random.default_rng(1)
    grams = 0.03 * rng.standard_normal(300)
    for at in (60, 150, 240):
        grams[at : at + 12] += size_g * np.linspace(0.0, 1.0, 12) ** 2
    learner = learnt(grams)
    assert learner.rest_noise_g == pytest.approx(0.03, rel=0.15)
    assert learner.scale_noise.correlation < 0.2


def test_a_scale_that_is_noisier_than_thought_is_believed():
    learner = learnt(0.4 * np.random.default_rng(5).standard_normal(800))
    assert learner.rest_noise_g == pytest.approx(0.4, rel=0.1)


@pytest.mark.parametrize(("blocks", "left_out"), [(3, False), (4, True)])
def test_a_restless_block_is_left_out_once_there_are_others_to_judge_it_by(blocks, left_out):
    grams = 0.04 * np.random.default_rng(11).standard_normal(16 * blocks)
    grams[-16:] *= 4.0
    assert (learnt(grams).rest_noise_g < 0.055) is left_out


def _learnt_share(added_g: np.ndarray) -> float:
    """The noise learnt on average of 0.04 g with this on it, as a share of what it is."""
    rngs = [np.random.default_rng(seed) for seed in range(30)]
    noises_g = [
        learnt(added_g + 0.04 * rng.standard_normal(len(added_g))).rest_noise_g for rng in rngs
    ]
    return float(np.mean(noises_g)) / 0.04


def test_white_noise_is_learnt_to_a_hundredth():
    """Cut off at two deviations it would be believed too small; less the mean of too few readings,
    too large."""
    assert 0.99 < _learnt_share(np.zeros(800)) < 1.01


def test_the_edges_of_pours_count_little():
    """One reading in forty, ten deviations off: taken for what they are, they would make half of
    the noise and more."""
    assert _learnt_share(np.where(np.arange(800) % 40 == 25, 0.4, 0.0)) < 1.25


def test_a_creep_that_turns_round_is_soon_followed():
    """Evaporation sets in, a drift turns: a mean over too many readings would still be going the
    old way."""
    assert _learnt_share(0.06 * np.sign(np.sin(np.arange(800) * np.pi / 200.0))) < 1.045


def learnt_g(*blocks):
    """The noise learnt from these blocks of rest: the size of a reading, and how many."""
    learner = TraitsLearner()
    for size_g, count in blocks:
        learner.rest([(size_g if i % 2 else -size_g, 0.0) for i in range(count)])
    return learner.rest_noise_g


def test_the_first_readings_make_no_exception_of_those_after_them():
    """The level is little known yet, and the first seem quieter: none was left, and of a scale of
    0.15 g 0.05 g was believed, so that it never rested any more."""
    assert learnt_g((0.062, 16), (0.153, 16), (0.147, 16), (0.08, 4)) > 0.1


def test_where_no_block_is_quiet_all_are_believed():
    assert learnt_g(*[(0.1, 16), (0.1, 16), (0.3, 16)] * 4) > 0.15


def test_a_slow_touch_and_the_blocks_beside_it_are_left_out():
    blocks = [(0.1, 16)] * 12
    blocks[5] = 0.3, 16
    blocks[6] = 0.14, 16
    assert learnt_g(*blocks) == pytest.approx(0.1, rel=0.05)


def pouring_at_rest_s(rate_hz, louder_g, seed):
    """How long water seems to run though none does, and what pours are found: of two, in a record
    whose noise of 0.04 g is louder for 47 s, as beside a grinder."""
    rng = np.random.default_rng(seed)
    t = np.arange(0.0, 90.0, 1.0 / rate_hz)
    flow = 6.0 * (((t > 10.0) & (t < 18.0)) | ((t > 40.0) & (t < 55.0)))
    noise_g = np.where((t > 28.0) & (t < 75.0), louder_g, 0.04)
    grams = np.cumsum(flow) / rate_hz + noise_g * rng.standard_normal(len(t))
    estimator = Estimator()
    seen = [
        estimator.feed(Reading(float(a), round(float(g), 2))).pouring
        for a, g in zip(t, grams, strict=True)
    ]
    return np.mean(np.array(seen) & (flow == 0.0)) * 90.0, estimator.close(90.0).pours


@pytest.mark.parametrize(("rate_hz", "louder_g"), [(10.0, 0.25), (40.0, 0.4), (80.0, 0.15)])
def test_noise_that_grows_is_no_water(rate_hz, louder_g):
    """The filter took it for a flow that wobbles, saw no rest by which to learn, and said for 10
    to 25 s that water ran."""
    for seed in (0, 1):
        false_s, pours = pouring_at_rest_s(rate_hz, louder_g, seed)
        assert false_s < 3.0
        assert [pour.mass_g for pour in pours] == [
            pytest.approx(48.0, abs=1.0),
            pytest.approx(90.0, abs=1.0),
        ]


@pytest.mark.parametrize("flow_gps", [1.0, 6.0])
def test_water_that_runs_is_no_noise(flow_gps):
    rng = np.random.default_rng(3)
    learner = learnt(0.05 * rng.standard_normal(200))
    for i in range(800):
        learner.see(float(flow_gps * i / 80.0 + 0.3 * rng.standard_normal()))
    assert learner.rest_noise_g == pytest.approx(0.05, rel=0.2)


@pytest.mark.parametrize(("size_g", "rate_hz"), [(45.0, 40.0), (0.8, 40.0), (3.0, 10.0)])
def test_a_brewer_that_is_swirled_is_no_noise(size_g, rate_hz):
    """It comes and goes about its weight as noise does, twice a second."""
    rng = np.random.default_rng(4)
    learner = learnt(0.05 * rng.standard_normal(200))
    for i in range(400):
        swirl_g = size_g * np.sin(2.0 * np.pi * 2.2 * i / rate_hz)
        learner.see(float(swirl_g + 0.05 * rng.standard_normal()))
    assert learner.rest_noise_g == pytest.approx(0.05, rel=0.2)
