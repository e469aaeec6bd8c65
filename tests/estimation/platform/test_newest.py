"""Whether the newest readings went down in a step or slid."""

import pytest

from pourcoach.estimation.platform.following import Moment
from pourcoach.estimation.platform.newest import Newest


def tares(grams: list[float], stood_g: float, apart_ticks: int = 10) -> float:
    """The share of tares whose readings are so many milliseconds apart, the last the newest."""
    return _newest(grams, apart_ticks).steps(apart_ticks * len(grams), stood_g)


def hands(grams: list[float], stood_g: float, apart_ticks: int = 10) -> float:
    """The share of hands that let go like this."""
    now = Moment(apart_ticks * len(grams), grams[-1], 0.0025, apart_ticks / 1000, False)
    return _newest(grams, apart_ticks).let_go(now, stood_g)


def _newest(grams: list[float], apart_ticks: int) -> Newest:
    newest = Newest(0, grams[0])
    for place, reading_g in enumerate(grams[:-1], 1):
        newest.passed(Moment(apart_ticks * place, reading_g, 0.0025, apart_ticks / 1000, False))
    return newest


@pytest.mark.parametrize(
    ("grams", "tare", "hand"),
    [
        ([*[20.0] * 20, 0.0], 1.0, 0.0005),
        ([20.0 - 0.8 * place for place in range(26)], 0.0005, 1.0),
        ([*[20.0] * 20, 15.0, 10.0, 5.0, 0.0], 0.1, 1.0),
    ],
)
def test_a_hand_lets_go_gradually_and_a_tare_is_one_step(
    grams: list[float], tare: float, hand: float
) -> None:
    """A converter may smear the step over a tenth of a second."""
    assert (tares(grams, 20.0), hands(grams, 20.0)) == (tare, hand)


def test_readings_that_rose_did_not_slide() -> None:
    """Water had run for a third of a second, up to 2.5 g by the last reading."""
    assert tares([*(0.08 * place for place in range(33)), 0.0], 2.6) == 1.0


@pytest.mark.parametrize(("ago", "share"), [(30, 0.0005), (50, 1.0)])
def test_a_slide_of_long_ago_is_another(ago: int, share: float) -> None:
    """Of readings at zero since: 40 are remembered, and what went on before them is over."""
    slid = [*(20.0 - 0.5 * place for place in range(40)), *[0.0] * ago]
    assert tares(slid, 20.0, 50) == share


def test_of_less_than_a_gram_no_step_can_be_seen() -> None:
    assert tares([*[0.8] * 20, 0.0], 0.8) == 0.0005
    assert tares([*[1.2] * 20, 0.0], 1.2) == 1.0


@pytest.mark.parametrize(
    ("passed_s", "share"), [(0.0125, 0.0005), (0.1, 0.0553), (0.2, 0.2633), (0.5, 0.688)]
)
def test_the_slower_the_scale_the_more_hands_let_go_between_two_readings(
    passed_s: float, share: float
) -> None:
    """Of those that take 0.08 to 0.4 s, and 0.65 of it to come from 0.9 of the load to 0.05."""
    newest = Newest(0, 20.0)
    ticks = round(1000 * passed_s)
    assert newest.let_go(Moment(ticks, 0.0, 0.0025, passed_s, False), 20.0) == pytest.approx(
        share, abs=0.0001
    )
