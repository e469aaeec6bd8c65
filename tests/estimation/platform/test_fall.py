"""A weight that falls slowly is noticed; one that evaporates or sloshes is not."""

import pytest

from pourcoach.estimation.platform.fall import FallWatch

NOISE_G = 0.05


def falls(slope_gps: float, lasts_s: float, then_gps: float = 0.0) -> bool:
    watch, mass_g, found = FallWatch(0.0, 100.0), 100.0, False
    for number in range(1, 2001):
        t_s = number / 20.0
        mass_g += (slope_gps if t_s < lasts_s else then_gps) / 20.0
        found = found or watch.see(t_s, mass_g, NOISE_G)
    return found


@pytest.mark.parametrize("slope_gps", [-0.3, -2.0, -20.0])
def test_a_fall_of_three_grams_is_noticed_however_slow(slope_gps: float) -> None:
    assert falls(slope_gps, -3.0 / slope_gps)


def test_vapour_is_followed_down() -> None:
    assert not falls(-0.045, 100.0)


def test_a_dip_that_comes_up_again_at_once_is_slosh() -> None:
    assert not falls(-10.0, 0.2, then_gps=10.0 / 100.0)


def fallen() -> tuple[FallWatch, float]:
    """A watch that has just seen 20 g go, and when."""
    watch = FallWatch(0.0, 100.0)
    for number in range(1, 40):
        t_s = number / 20.0
        if watch.see(t_s, 80.0, NOISE_G):
            return watch, t_s
    raise AssertionError


@pytest.mark.parametrize(("passed_s", "rests"), [(0.5, False), (0.7, True)])
def test_a_weight_that_fell_has_come_down_once_it_has_rested(passed_s: float, rests: bool) -> None:
    watch, since_s = fallen()
    came_s = watch.came_down(since_s + passed_s, 80.0, pouring=False)
    assert came_s == (since_s if rests else None)


@pytest.mark.parametrize(("lower_g", "rests"), [(0.16, True), (0.24, False)])
def test_one_that_still_falls_has_not(lower_g: float, rests: bool) -> None:
    watch, since_s = fallen()
    came_s = watch.came_down(since_s + 0.7, 80.0 - lower_g, pouring=False)
    assert (came_s is not None) is rests


def sunk(by_g: float, lasts_s: float, noise_g: float = NOISE_G) -> bool:
    """Whether it is noticed that the weight lay so far lower for so long."""
    watch = FallWatch(0.0, 100.0)
    times_s = [number / 100.0 for number in range(1, 300)]
    return any(watch.see(t_s, 100.0 - by_g * (t_s < lasts_s), noise_g) for t_s in times_s)


@pytest.mark.parametrize(("lasts_s", "noticed"), [(0.26, False), (0.4, True)])
def test_a_third_of_a_second_is_longer_than_slosh(lasts_s: float, noticed: bool) -> None:
    assert sunk(3.0, lasts_s) is noticed


@pytest.mark.parametrize(("by_g", "noticed"), [(2.1, False), (2.7, True)])
def test_noise_is_no_fall(by_g: float, noticed: bool) -> None:
    """Of 0.4 g: at four deviations chance would be one, at nine a hand of three grams is none."""
    assert sunk(by_g, 1.0, noise_g=0.4) is noticed


@pytest.mark.parametrize(("slope_gps", "noticed"), [(-0.045, False), (-0.065, True)])
def test_only_what_vapour_takes_is_followed_down(slope_gps: float, noticed: bool) -> None:
    watch = FallWatch(0.0, 100.0)
    assert noticed is any(watch.see(t_s, 100.0 + slope_gps * t_s, NOISE_G) for t_s in range(1, 200))
