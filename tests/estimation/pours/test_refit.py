"""A finished pour in hindsight."""

import numpy as np
import pytest

from pourcoach.domain.fall import Fall
from pourcoach.domain.pour import Pour, Unjudged
from pourcoach.estimation.noise.scale_noise import ScaleNoise
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.pour_readings import PourReadings
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refit import Refinement, _last_rise

START_S, END_S, FLOW_GPS = 5.0, 15.0, 6.0


def record_of_a_pour() -> Record:
    rng = np.random.default_rng(11)
    record = Record(Fall(0.0, 0.0))
    for t in np.arange(0.0, 20.0, 0.05):
        level = FLOW_GPS * (np.clip(t, START_S, END_S) - START_S)
        record.append(float(t), float(level + 0.03 * rng.standard_normal()))
    return record


def begun(live: Pour, record: Record) -> Refinement:
    return Refinement(live, record, TraitsLearner(), (0.0, 20.0))


@pytest.mark.parametrize("late_s", [-0.3, 0.0, 0.3, 0.7, 1.2, 2.5])
def test_an_end_reported_late_is_still_found(late_s):
    end_s = END_S + late_s
    end_g = FLOW_GPS * (min(end_s, END_S) - START_S)
    live = Pour(start_s=START_S, start_g=0.0, end_s=end_s, end_g=end_g)
    pour = begun(live, record_of_a_pour()).finish()
    assert pour.end_s == pytest.approx(END_S, abs=0.1)
    assert pour.mass_g == pytest.approx(FLOW_GPS * (END_S - START_S), abs=0.2)
    assert pour.flow_cv is not None
    assert pour.flow_cv < 0.02


@pytest.mark.parametrize("late_s", [0.8, 0.9, 1.0])
def test_an_end_reported_late_for_slosh_is_still_found(late_s):
    """Where the water swung below its level, long after it had come up to it, it is no rise."""
    rng = np.random.default_rng(5)
    record = Record(Fall(0.0, 0.0))
    for t in np.arange(0.0, 20.0, 0.025):
        since = max(t - END_S, 0.0)
        level = FLOW_GPS * (np.clip(t, START_S, END_S) - START_S)
        swing = 0.6 * np.exp(-since / 0.6) * np.sin(2.0 * np.pi * 2.2 * since)
        record.append(float(t), float(level + swing + 0.03 * rng.standard_normal()))
    live = Pour(START_S, 0.0, END_S + late_s, FLOW_GPS * (END_S - START_S))
    pour = begun(live, record).finish()
    assert pour.end_s == pytest.approx(END_S, abs=0.1)
    assert pour.mass_error_g is not None


@pytest.mark.parametrize("seed", [0, 3])
def test_an_end_that_noise_blurs_stays_where_it_was_reported(seed):
    """Where the weight last rose clearly is far before it then."""
    rng = np.random.default_rng(seed)
    record = Record(Fall(0.0, 0.0))
    for t in np.arange(0.0, 20.0, 1.0 / 7.0):
        level = 1.1 * (np.clip(t, START_S, END_S) - START_S)
        record.append(float(t), float(level + 0.23 * rng.standard_normal()))
    traits = TraitsLearner()
    for grams in 0.23 * rng.standard_normal(200):
        traits.see(float(grams))
    live = Pour(start_s=START_S, start_g=0.0, end_s=END_S + 0.5, end_g=11.0)
    pour = Refinement(live, record, traits, (0.0, 20.0)).finish()
    assert pour.end_s == pytest.approx(END_S, abs=0.6)
    assert pour.mass_error_g is not None


def test_it_works_in_slices_on_a_copy_of_the_readings():
    """What comes meanwhile changes nothing, nor does how the steps are taken."""
    live = Pour(start_s=START_S, start_g=0.0, end_s=END_S, end_g=60.0)
    record = record_of_a_pour()
    refinement = begun(live, record)
    record.rewind(0.0)
    steps = 1
    while (pour := refinement.step()) is None:
        steps += 1
    assert steps > 10
    assert pour == begun(live, record_of_a_pour()).finish()
    assert pour.refined


def test_a_pour_too_short_to_judge_says_so():
    rng = np.random.default_rng(12)
    record = Record(Fall(0.0, 0.0))
    for t in np.arange(0.0, 20.0, 0.05):
        level = FLOW_GPS * (np.clip(t, START_S, START_S + 3.0) - START_S)
        record.append(float(t), float(level + 0.03 * rng.standard_normal()))
    pour = begun(Pour(START_S, 0.0, START_S + 3.0, 3.0 * FLOW_GPS), record).finish()
    assert pour.flow_cv is None
    assert pour.unjudged is Unjudged.TOO_SHORT


def test_a_pour_that_still_runs_is_not_refined():
    with pytest.raises(ValueError, match="ended"):
        begun(Pour(START_S, 0.0), record_of_a_pour())


def test_noise_that_was_not_learnt_yet_is_seen_beside_the_pour():
    """Of scales with six times the noise that was believed of them, even pours are even."""
    for seed in range(8):
        rng = np.random.default_rng(seed)
        record = Record(Fall(0.0, 0.0))
        for t in np.arange(0.0, 20.0, 0.1):
            level = FLOW_GPS * (np.clip(t, START_S, END_S) - START_S)
            record.append(float(t), float(level + 0.3 * rng.standard_normal()))
        pour = begun(Pour(START_S, 0.0, END_S, 60.0), record).finish()
        assert pour.mass_error_g is not None
        assert pour.mass_error_g > 0.05
        assert pour.flow_cv is None or pour.flow_cv < 0.1 + pour.flow_cv_error


def mass_errors(noise_g):
    """Of short pours on a scale of this noise, of which 0.05 g is believed."""
    errors = []
    for seed in range(60):
        rng = np.random.default_rng(seed)
        record = Record(Fall(0.0, 0.0))
        for t in np.arange(0.0, 20.0, 0.1):
            level = FLOW_GPS * (np.clip(t, START_S, START_S + 3.0) - START_S)
            record.append(float(t), float(level + noise_g * rng.standard_normal()))
        pour = begun(Pour(START_S, 0.0, START_S + 3.0, 3.0 * FLOW_GPS), record).finish()
        errors.append(pour.mass_error_g or 0.0)
    return np.array(errors)


def test_a_little_more_noise_beside_a_pour_is_chance_and_four_times_as_much_is_not():
    usual_g = float(np.median(mass_errors(0.05)))
    assert np.mean(mass_errors(0.07) > 1.3 * usual_g) < 0.07
    assert np.mean(mass_errors(0.105) > 1.3 * usual_g) > 0.4


def _rises_last_s(seed: int) -> float:
    """When a pour of 1 g/s that ended at 10 s, and was reported to end at 12 s, rose last."""
    rng = np.random.default_rng(seed)
    times = np.arange(5.0, 12.0, 0.05)
    grams = np.minimum(times, 10.0) - 5.0 + 0.15 * rng.standard_normal(len(times))
    readings = PourReadings(times.tolist(), grams.tolist(), ScaleNoise(0.15**2), 0.0, 0.0)
    return _last_rise(readings, 5.0, 12.0, 5.0, 0.15)


def test_where_a_weight_rose_last_is_found_beneath_its_noise() -> None:
    """Where less counted as a rise, noise after the end would pass for one; where more did, the
    last of a trickle would be cut off."""
    found = [_rises_last_s(seed) for seed in range(200)]
    assert sum(at_s > 10.1 for at_s in found) <= 4
    assert np.median(found) > 9.3
