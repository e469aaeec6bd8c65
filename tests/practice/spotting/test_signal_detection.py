"""Sensitivity and criterion against published examples."""

import pytest

from pourcoach.practice.spotting.signal_detection import of_shares, sensitivity


@pytest.mark.parametrize(
    ("hits", "signals", "false_alarms", "others", "d_prime", "error", "low", "high"),
    [
        (10, 20, 3, 20, 1.036433, 0.4425006, 0.1691481, 1.903719),
        (8, 25, 1, 25, 1.282987, 0.5243127, 0.2553532, 2.310621),
    ],
)
def test_sensitivity_and_interval_are_those_of_the_package_sensr(
    hits, signals, false_alarms, others, d_prime, error, low, high
) -> None:
    """The A-not-A examples in the R package sensR's own check output."""
    found = of_shares(hits / signals, signals, false_alarms / others, others)
    assert found.d_prime == pytest.approx(d_prime, abs=1e-5)
    assert found.error == pytest.approx(error, abs=1e-5)
    assert found.interval == pytest.approx((low, high), abs=1e-5)


def test_an_extreme_share_replaced_by_half_a_trial() -> None:
    """Stanislaw and Todorov 1999: 50 of 50 and 17 of 25, by the 1/(2N) rule."""
    found = of_shares(1 - 1 / 100, 50, 17 / 25, 25)
    assert found.d_prime == pytest.approx(1.86, abs=0.005)
    assert found.criterion == pytest.approx(-1.40, abs=0.005)


@pytest.mark.parametrize(
    ("hits", "signals", "false_alarms", "others", "d_prime"),
    [(50, 50, 17, 25, 1.8853), (20, 20, 0, 20, 3.9615), (10, 10, 0, 10, 3.3812)],
)
def test_counts_go_through_the_log_linear_rule(
    hits, signals, false_alarms, others, d_prime
) -> None:
    """Hautus 1995; values worked out beside the program from z((h + .5) / (n + 1))."""
    found = sensitivity(hits, signals, false_alarms, others)
    assert found is not None
    assert found.d_prime == pytest.approx(d_prime, abs=1e-4)


def test_the_rule_adds_one_trial_and_not_one_and_a_half() -> None:
    """A published function divides by N + 1.5 and gets 1.6513 for 9 of 10 and 2 of 9."""
    found = sensitivity(9, 10, 2, 9)
    assert found is not None
    assert found.d_prime == pytest.approx(1.7713, abs=1e-4)


def test_the_criterion_has_half_the_error() -> None:
    found = sensitivity(18, 20, 4, 20)
    assert found is not None
    low, high = found.interval
    c_low, c_high = found.criterion_interval
    assert c_high - c_low == pytest.approx((high - low) / 2)
    assert (c_low + c_high) / 2 == pytest.approx(found.criterion)


def test_without_signals_or_without_others_nothing_is_said() -> None:
    assert sensitivity(0, 0, 3, 9) is None
    assert sensitivity(3, 9, 0, 0) is None


def test_impossible_counts_are_refused() -> None:
    with pytest.raises(ValueError, match="cannot be"):
        sensitivity(5, 4, 0, 4)
