import random

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.figures.delay import delay
from tests.weighing.readings import readings

PRESSES = [2.0, 4.1, 6.3, 8.2, 10.4, 12.1, 14.0, 16.2]


def pressed(late_s: float, hand_s: float = 0.0, hz: float = 80.0, seed: int = 3):
    """A finger comes down within 40 ms, stays 0.2 s, and goes; the readings are late."""
    chance = random.Random(seed)
    begins = [press + chance.gauss(0, hand_s) - 0.02 for press in PRESSES]

    def grams(t_s: float) -> float:
        for begin_s in begins:
            since_s = t_s - late_s - begin_s
            if 0 <= since_s < 0.24:
                return 500 * min(since_s / 0.04, 1.0)
        return 0.0

    return readings(18, grams, hz=hz, noise_g=0.05)


@pytest.mark.parametrize("late_s", [0.0, 0.03, 0.2])
def test_a_delay_is_found(late_s):
    found = delay(PRESSES, pressed(late_s))
    assert found.delay_s == pytest.approx(late_s, abs=0.003)
    assert found.presses == 8


def test_hands_that_miss_each_other_widen_the_error():
    found = delay(PRESSES, pressed(0.1, hand_s=0.02))
    assert found.delay_s == pytest.approx(0.1, abs=0.02)
    assert 0.003 < found.error_s < 0.02


def test_presses_that_cannot_be_seen_are_refused():
    with pytest.raises(UsageError, match="only 0 presses"):
        delay(PRESSES, readings(18, 0.0, noise_g=0.05))
