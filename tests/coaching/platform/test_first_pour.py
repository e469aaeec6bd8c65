"""What the brew was taken to begin with may be taken back, and the brew has begun all the same."""

import pytest

from pourcoach.coaching.flow.trace import Trace
from pourcoach.coaching.progress import Progress
from pourcoach.domain.estimate import Estimate, EventKind, PlatformEvent, ScaleTraits
from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Phase, Pour, PourState

REST = Estimate(0.0, 0.0, 0.1, 0.0, 0.1, False, 0.0, None, None, (), ScaleTraits())
PRESS = Pour(start_s=3.0, start_g=0.0)
WATER = Pour(start_s=5.4, start_g=0.0)


def seen(*moments: tuple[float, float, tuple[Pour, ...], float]) -> PourState:
    """After a second at zero: when, the weight, the pours, and what is taken off to show it."""
    progress = Progress(None, Trace())
    rest = [(place / 10, 0.0, (), 0.0) for place in range(10)]
    for t_s, mass_g, pours, booked_g in (*rest, *moments):
        running = bool(pours) and pours[-1].end_s is None
        state = progress.feed(
            Reading(t_s, mass_g),
            REST._replace(t_s=t_s, mass_g=mass_g, pouring=running, pours=pours, booked_g=booked_g),
        )
    return state


def test_water_goes_on_as_the_brew_once_a_press_before_it_is_taken_back() -> None:
    ended = Pour(start_s=3.0, start_g=0.0, end_s=3.6, end_g=4.0)
    done = Pour(start_s=5.3, start_g=0.0, end_s=13.3, end_g=40.0)
    state = seen(
        *((t_s, 4.0, (), 0.0) for t_s in (3.1, 3.4, 3.7)),
        (4.0, 4.0, (PRESS,), 0.0),
        (6.0, 7.0, (ended, WATER), 0.0),
        (7.0, 8.0, (WATER,), 0.0),
        (20.0, 40.0, (done,), 0.0),
    )
    assert state.phase is not Phase.READY
    assert state.brew_start_s == 5.3


def test_a_press_that_was_taken_for_a_vessel_leaves_no_water() -> None:
    placed = Pour(start_s=3.0, start_g=0.0, end_s=3.8, end_g=2.5)
    state = seen(
        (4.3, 34.4, (placed,), -31.9),
        (5.3, 0.0, (), 0.0),
        (6.0, 3.0, (WATER,), 0.0),
    )
    assert state.water_g == pytest.approx(3.0)


def test_a_press_in_the_first_drops_that_was_taken_for_a_vessel_is_no_water() -> None:
    progress = Progress(None, Trace())
    drops = Pour(start_s=3.0, start_g=0.0, end_s=3.8, end_g=2.5)
    placed = PlatformEvent(EventKind.PLACED, 3.3, 4.2, 31.9, 0.5, 0.99)
    shown = [
        *((place / 10, REST) for place in range(31)),
        (4.3, REST._replace(mass_g=34.4, booked_g=-31.9)),
        (5.3, REST._replace(mass_g=34.4, booked_g=-31.9, pours=(drops,), events=(placed,))),
    ]
    for t_s, estimate in shown:
        state = progress.feed(Reading(t_s, estimate.mass_g), estimate._replace(t_s=t_s))
    assert state.brew_start_s == 3.0
    assert state.water_g == pytest.approx(2.5)
