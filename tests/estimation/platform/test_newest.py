"""Whether the newest readings went down in a step or slid."""

import pytest

from pourcoach.estimation.platform.following import Moment
from pourcoach.estimation.platform.newest import Newest


def slides(grams: list[float], stood_g: float, apart_ticks: int = 10) -> bool:
    """Of readings so many milliseconds apart, the last of which is the newest."""
    newest = Newest(0, grams[0])
    for place, reading_g in enumerate(grams[:-1], 1):
        newest.passed(Moment(apart_ticks * place, reading_g, 0.0025, apart_ticks / 1000, False))
    return newest.slides(apart_ticks * len(grams), stood_g)


def test_a_hand_lets_go_gradually_and_a_tare_is_one_step() -> None:
    assert slides([20.0 - 0.8 * place for place in range(26)], 20.0)
    assert not slides([*[20.0] * 20, 0.0], 20.0)


def test_readings_that_rose_did_not_slide() -> None:
    """Water had run for a third of a second, up to 2.5 g by the last reading."""
    assert not slides([*(0.08 * place for place in range(33)), 0.0], 2.6)


@pytest.mark.parametrize(("ago", "seen"), [(30, True), (50, False)])
def test_a_slide_of_long_ago_is_another(ago: int, seen: bool) -> None:
    """Of readings at zero since: 40 are remembered, and what went on before them is over."""
    assert slides([*(20.0 - 0.5 * place for place in range(40)), *[0.0] * ago], 20.0, 50) is seen


def test_of_less_than_a_gram_no_step_can_be_seen() -> None:
    assert slides([*[0.8] * 20, 0.0], 0.8)
    assert not slides([*[1.2] * 20, 0.0], 1.2)


@pytest.mark.parametrize(
    ("passed_s", "share"), [(0.0125, 0.0005), (0.1, 0.0063), (0.2, 0.1125), (0.5, 0.52)]
)
def test_the_slower_the_scale_the_more_hands_let_go_between_two_readings(
    passed_s: float, share: float
) -> None:
    """Of those that take 0.08 to 0.4 s."""
    newest = Newest(0, 20.0)
    ticks = round(1000 * passed_s)
    assert newest.let_go(Moment(ticks, 0.0, 0.0025, passed_s, False), 20.0) == pytest.approx(
        share, abs=0.0001
    )
