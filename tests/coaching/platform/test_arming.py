"""Whether the next rise of weight is taken as the first water."""

import pytest

from pourcoach.coaching.platform.arming import Arming
from pourcoach.domain.estimate import Estimate, EventKind, PlatformEvent, ScaleTraits
from pourcoach.domain.pour import Pour

REST = Estimate(0.0, 0.0, 0.1, 0.0, 0.1, False, 0.0, None, None, (), ScaleTraits())


def seen(*weights_g: float) -> Arming:
    """So many tenths of a second at each of these weights, no pour seen."""
    arming = Arming()
    for place, weight_g in enumerate(weights_g):
        arming.feed(place / 10, REST._replace(t_s=place / 10, mass_g=weight_g))
    return arming


def test_a_platform_at_zero_is_armed() -> None:
    assert seen(0.0).armed


def test_a_weight_that_stands_there_disarms() -> None:
    assert not seen(*[0.0] * 20, *[300.0] * 10).armed


def test_a_hand_that_lay_there_during_the_tare_leaves_it_armed_below_zero() -> None:
    arming = seen(*[0.0] * 20, *[-13.0] * 10)
    assert arming.armed
    assert arming.below_g == -13.0


def test_what_was_taken_off_may_come_back_and_disarms() -> None:
    arming, lifted = seen(*[0.0] * 20), PlatformEvent(EventKind.LIFTED, 2.0, 2.1, -30.0)
    for place in range(20, 30):
        arming.feed(place / 10, REST._replace(mass_g=-30.0, events=(lifted,)))
    assert not arming.armed
    assert arming.below_g == 0.0


@pytest.mark.parametrize(
    ("start_s", "counts"),
    [(1.8, True), (-2.0, False), (2.5, True), (2.9, False), (4.0, False)],
    ids=[
        *("begun at zero", "before it was armed", "first moment hidden", "begun off zero"),
        "onto what stands there",
    ],
)
def test_a_pour_reported_after_its_own_water_disarmed_the_platform(
    start_s: float, counts: bool
) -> None:
    slow_rise_g = [max(0.0, (place - 18) * 0.5) for place in range(40)]
    arming = seen(*slow_rise_g)
    assert not arming.armed
    assert arming.counts(start_s) is counts


def test_what_was_armed_before_a_tare_counts_no_more() -> None:
    arming = seen(*[0.0] * 20, *[300.0] * 10)
    arming.reset()
    assert not arming.counts(1.0)


@pytest.mark.parametrize(
    ("first_g", "start_g", "armed"),
    [(0.0, -9.0, True), (0.0, -60.0, False), (300.0, -9.0, False)],
    ids=["let go", "taken off", "never ready"],
)
def test_water_counts_that_began_before_it_was_known_that_a_hand_had_let_go(
    first_g: float, start_g: float, armed: bool
) -> None:
    arming = seen(*[first_g] * 20, *[15.0] * 20)
    assert not arming.armed
    gone = PlatformEvent(EventKind.LIFTED, 4.0, 4.4, -24.0)
    poured = Pour(start_s=5.0, start_g=start_g)
    known = REST._replace(mass_g=start_g + 5.0, pouring=True, pours=(poured,), events=(gone,))
    arming.feed(6.0, known, moved=True)
    assert arming.armed is armed
    assert arming.counts(5.0) is armed
