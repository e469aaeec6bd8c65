"""When a pour is more than provisional."""

import pytest

from pourcoach.domain.pour import Pour
from pourcoach.estimation.pours.confirmation import Confirmation

POUR = Pour(10.0, 0.0)


def given_after(
    probability: float, *, flow_gps: float = 4.0, mass_gps: float = 1.0
) -> float | None:
    """How long after its start it is given, of readings 0.05 s apart; None if not in 4 s."""
    confirmation = Confirmation()
    confirmation.begin(given=False)
    for number in range(81):
        passed_s = 0.05 * number
        grams = mass_gps * passed_s
        confirmation.see(POUR, 10.0 + passed_s, probability, flow_gps, grams)
        if confirmation.given:
            return passed_s
    return None


def test_it_is_given_once_it_has_been_sure_for_a_fifth_of_a_second() -> None:
    assert given_after(0.995) == pytest.approx(0.225, abs=0.03)


def test_less_sure_or_slower_it_is_not() -> None:
    assert given_after(0.98) is None
    assert given_after(0.995, flow_gps=0.3) is None


@pytest.mark.parametrize(
    ("mass_gps", "given_s"), [(4.0, 2.05), (2.4, 2.1), (1.5, 3.35), (1.2, None)]
)
def test_five_grams_in_two_seconds_are_no_touch(mass_gps: float, given_s: float | None) -> None:
    expected = None if given_s is None else pytest.approx(given_s, abs=0.06)
    assert given_after(0.9, mass_gps=mass_gps) == expected
