import pytest

from pourcoach.reports.scale import judging_accuracy as subject
from pourcoach.reports.scale.judging_accuracy import judging_accuracy, scale_like
from pourcoach.weighing.figures.pace import Pace
from pourcoach.weighing.figures.rest import Rest


def rest(noise_g: float, step_g: float | None) -> Rest:
    return Rest(0.0, noise_g, step_g, 0.0, 200, 20.0)


def pace(rate_hz: float, **kwargs) -> Pace:
    return Pace(
        rate_hz, 1 / rate_hz, 0.002, 0.0, **({"stamp_jitter_s": None, "missed": None} | kwargs)
    )


def test_a_scale_is_simulated_as_it_was_measured():
    """The rounding that is in the measured noise is not put in twice: variances, step²/12."""
    model = scale_like(rest(0.05, 0.1), pace(10.0, stamp_jitter_s=0.0, missed=3))
    assert model.noise_g == pytest.approx((0.05**2 - 0.1**2 / 12) ** 0.5)
    assert (model.rate_hz, model.resolution_g) == (10.0, 0.1)
    assert (model.sends_time, model.sends_sequence) == (True, True)


def test_a_step_that_hides_the_noise_leaves_none_to_add():
    assert scale_like(rest(0.01, 0.1), pace(10.0)).noise_g == 0.0


def test_a_faster_scale_than_can_be_simulated_is_simulated_as_fast_as_can_be():
    assert scale_like(rest(0.05, None), pace(1000.0)).rate_hz == subject.FASTEST_HZ


def test_a_good_scale_sees_more_than_a_bad_one(monkeypatch):
    monkeypatch.setattr(subject, "BREWS", 1)
    good = judging_accuracy(rest(0.03, 0.01), pace(20.0))
    bad = judging_accuracy(rest(1.5, 1.0), pace(3.0))
    # Two brews of five pours, one a hand.
    assert 8 <= good.pours <= 10
    assert 9.0 < good.pour_s < 13.0
    assert good.evenness_error < 0.06
    assert bad is None or bad.evenness_error > 1.5 * good.evenness_error
