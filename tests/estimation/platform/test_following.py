"""How likely a reading is under one account of it."""

import math

import pytest

from pourcoach.estimation.filter.filter_state import state_at
from pourcoach.estimation.platform.following import Following, Moment
from pourcoach.estimation.platform.hypothesis import Hypothesis


def after_a_touch(off_g: float) -> tuple[float, float]:
    """The density of a reading after a touch of 0.3 s, so far off the weight before it: of a level
    that has come to rest beside it, and of one that has not moved."""
    before = state_at(0, 40.0, 0.01, 0.001, 0.0)
    now = Moment(300, 40.0 + off_g, 0.0025, 0.1, False)
    touched = Hypothesis(0.0, True, 0, before, 0.0, 0.0)
    beside, same = Following(before).came_back(touched, 0.0, now)
    return math.exp(beside.log_p), math.exp(same.log_p)


@pytest.mark.parametrize(("off_g", "density"), [(0.0, 0.079), (0.5, 0.048), (1.0, 0.011)])
def test_one_touch_in_ten_leaves_the_level_half_a_gram_beside(off_g: float, density: float) -> None:
    """A tenth of a normal density with a deviation of 0.5 g, and 0.05 g of noise: slosh,
    or a spring that swings."""
    assert after_a_touch(off_g)[0] == pytest.approx(density, rel=0.25)


@pytest.mark.parametrize(("off_g", "beside"), [(0.3, False), (0.5, True)])
def test_a_level_that_is_off_by_more_than_noise_has_come_to_rest_beside(
    off_g: float, beside: bool
) -> None:
    """Of 0.05 g, with a level that was known to 0.1 g."""
    of_beside, of_same = after_a_touch(off_g)
    assert (of_beside > of_same) is beside
