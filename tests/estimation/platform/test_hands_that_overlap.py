"""What is left where one hand presses while another lets go."""

from random import Random

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Pour
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.pours.start_watch import risen_from
from tests.estimation.platform.handled import all_found, followed, push

RATE_HZ = 8.0
REST_G = 212.6
FIRST_G = (213.0, 215.4, 219.5, 224.6, 230.0, 235.3, 239.7, 242.7)
BETWEEN_G = (245.4, 237.2, 227.7, 232.0, 238.2, 242.7)
SECOND_G = (244.7, 242.7, 239.5, 235.1, 230.2, 225.4, 220.9, 216.6, 213.7, 212.8)
"""Of a slow scale the last reading but one lies near enough to the level to seem the end."""


def test_no_little_pour_is_left_where_the_second_hand_presses_a_little_harder() -> None:
    chance = Random(2)
    grams = [
        *(0.0 for _ in range(40)),
        *(REST_G * n / 340 for n in range(340)),
        *(REST_G for _ in range(120)),
        *FIRST_G,
        *(243.65 for _ in range(24)),
        *BETWEEN_G,
        *(245.1 for _ in range(10)),
        *SECOND_G,
        *(REST_G for _ in range(60)),
    ]
    estimator = Estimator()
    for number, weight_g in enumerate(grams):
        reading_g = round(weight_g + chance.gauss(0.0, 0.14), 1)
        estimate = estimator.feed(Reading(round(number / RATE_HZ, 4), reading_g))
    estimate = estimator.close(len(grams) / RATE_HZ)
    assert estimate.unbroken_g == pytest.approx(REST_G, abs=0.5)
    assert [pour.mass_g for pour in estimate.pours] == pytest.approx([REST_G], abs=1.0)


@pytest.mark.parametrize(("rested_s", "expected_g"), [(8.5, 40.0), (7.5, 38.0)])
def test_what_dips_for_a_moment_comes_back_as_no_water(rested_s: float, expected_g: float) -> None:
    assert risen_from(Pour(10.0, 38.0), (rested_s, 40.0)) == expected_g
    assert risen_from(Pour(10.0, 38.0), None) == 38.0


@pytest.mark.parametrize("rate_hz", [12.5, 16.0, 20.0, 80.0])
def test_three_hands_on_top_of_one_another_leave_no_water(rate_hz: float) -> None:
    """Two of them let go together; for a moment the third alone holds what is left, and that looks
    like a level from which something heavy has been taken away."""
    found = followed(
        rate_hz,
        push(22.0, 1.4, 2.5, 1.5, 30.0),
        push(23.5, 0.9, 2.2, 0.5, 29.0),
        push(23.0, 0.4, 4.6, 1.2, 7.2),
    )
    assert all_found(found)
