"""A scale that tares itself where water begins or stops, as the weight swings."""

import numpy as np
import pytest

from pourcoach.domain.estimate import EventKind
from tests.estimation.platform.handled import all_found, followed, kinds, step
from tests.estimation.platform.press_log import Weight

STOPS_S, BEGINS_S = 13.0, 40.0


def slosh(from_s: float, grams: float) -> Weight:
    """What swings on after the water has stopped, twice a second."""

    def weight(times: np.ndarray) -> np.ndarray:
        after_s = times - from_s
        swing = grams * np.exp(-np.clip(after_s, 0.0, None) / 0.5) * np.sin(4.0 * np.pi * after_s)
        return np.where(after_s > 0.0, -swing, 0.0)

    return weight


def dip(at_s: float, grams: float) -> Weight:
    """The platform springs back for a moment as the first drops meet it."""
    return lambda times: -grams * np.exp(-0.5 * ((times - at_s) / 0.03) ** 2)


@pytest.mark.parametrize(("rate_hz", "after_s", "swing_g"), [(20.0, 0.1, 0.35), (80.0, 0.05, 0.4)])
def test_a_tare_as_the_water_swings_is_no_hand_that_lets_go(
    rate_hz: float, after_s: float, swing_g: float
) -> None:
    found = followed(rate_hz, slosh(STOPS_S, swing_g), step(STOPS_S + after_s, -40.0))
    assert all_found(found)
    assert kinds(found) == {EventKind.SCALE_TARE}


def test_a_tare_as_the_first_drops_fall_is_no_lift() -> None:
    found = followed(80.0, dip(BEGINS_S + 0.06, 0.5), step(BEGINS_S + 0.05, -40.0))
    assert all_found(found)
    assert kinds(found) == {EventKind.SCALE_TARE}
