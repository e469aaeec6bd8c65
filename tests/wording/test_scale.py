"""A scale's trouble in a sentence."""

from pourcoach.domain.estimate import ScaleTraits, ScaleTrouble
from pourcoach.wording import trouble_sentence


def test_a_scale_without_trouble_has_no_sentence() -> None:
    assert trouble_sentence(ScaleTraits(rate_hz=10.0)) is None


def test_a_slow_scale_is_answered_with_what_would_do() -> None:
    said = trouble_sentence(ScaleTraits(rate_hz=0.5, trouble=ScaleTrouble.TOO_SLOW))
    assert said is not None
    assert "0.5 times a second" in said
    assert "5 a second" in said
    unknown = trouble_sentence(ScaleTraits(trouble=ScaleTrouble.TOO_SLOW))
    assert unknown is not None
    assert unknown.count("too seldom") == 1


def test_a_clock_that_does_not_run_is_reported() -> None:
    said = trouble_sentence(ScaleTraits(trouble=ScaleTrouble.CLOCK))
    assert said is not None
    assert "clock" in said
