"""What is a tare of the scale's own, and what only looks like one."""

import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.fall import Fall
from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator

RESTING_TENTHS = [int(place in (0, 9, 21, 27)) for place in range(69)]
RISING_TENTHS = (0, 4, 16, 25, 32, 41, 49, 57, 65, 74, 81, 90, 98, 109, 119, 129, 136)
"""A hand that begins all at once, on a scale of ten readings a second without much noise."""


def test_water_that_begins_steeply_is_no_tare() -> None:
    """A tare takes the figure to zero, and never farther from it: taken for one, the first readings
    of such a pour were not counted to it."""
    estimator = Estimator(fall=Fall(0.0, 0.0))
    tenths = [*RESTING_TENTHS, *RISING_TENTHS, *[RISING_TENTHS[-1]] * 40]
    for place, tenth in enumerate(tenths):
        estimator.feed(Reading(place / 10.0, tenth / 10.0))
    last = estimator.close(len(tenths) / 10.0)
    assert EventKind.SCALE_TARE not in {event.kind for event in last.events}
    assert [pour.mass_g for pour in last.pours] == [pytest.approx(13.6, abs=0.1)]
