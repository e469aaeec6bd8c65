"""What a reading that nobody looks at moves, and which readings are looked at."""

import pytest

from pourcoach.coaching.between_looks import BetweenLooks
from pourcoach.domain.advice import Word
from pourcoach.domain.estimate import Disturbance, Estimate, Settled
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase, Pour
from tests.tui.made_frames import make_frame


def next_reading(frame: Frame, **changes) -> Estimate:
    return frame.estimate._replace(
        t_s=frame.t_s + 0.01, mass_g=frame.estimate.mass_g + 0.25, settled=None, **changes
    )


@pytest.mark.parametrize("off_g", [None, -3.0])
@pytest.mark.parametrize(("brew_s", "countdown_s"), [(20.0, 6.0), (None, None)])
def test_weight_and_clocks_move_and_nothing_else(off_g, brew_s, countdown_s) -> None:
    frame = make_frame(20.0, Word.WAIT, 40.0, phase=Phase.WAITING)
    pour = frame.pour._replace(off_g=off_g, brew_s=brew_s, countdown_s=countdown_s)
    frame = frame._replace(pour=pour)
    between = BetweenLooks(frame, due_s=21.0)
    for passed_s in (0.25, 0.5):  # Each goes on from the one before.
        mass_g = frame.estimate.mass_g + passed_s
        estimate = frame.estimate._replace(mass_g=mass_g - 2.0, booked_g=2.0, settled=None)
        moved = between.frame(20.0 + passed_s, estimate)
        later = pour._replace(
            water_g=pour.water_g + passed_s,
            off_g=None if off_g is None else off_g + passed_s,
            brew_s=None if brew_s is None else brew_s + passed_s,
            countdown_s=None if countdown_s is None else countdown_s - passed_s,
        )
        assert moved == frame._replace(t_s=20.0 + passed_s, estimate=estimate, pour=later)
        assert isinstance(moved, Frame)
        assert type(moved.pour) is type(pour)


def test_what_was_poured_stands_once_the_brew_is_over() -> None:
    frame = make_frame(200.0, Word.DONE, 320.0, phase=Phase.DONE)
    moved = BetweenLooks(frame, due_s=201.0).frame(200.5, next_reading(frame))
    assert moved is not None
    assert moved.pour is frame.pour


@pytest.mark.parametrize(
    "changes",
    [
        {"settled": Settled(19.8, 40.0, 5.0, 0.2)},
        {"flow_gps": 5.0},
        {"pours": (Pour(19.0, 40.0),)},
        {"events": ()},
        {"pouring": True},
        {"disturbance": Disturbance.KNOCK},
    ],
)
def test_what_shows_more_is_looked_at(changes) -> None:
    frame = make_frame(20.0, Word.WAIT, 40.0, phase=Phase.WAITING)
    known = frame.estimate._replace(flow_gps=0.0, pouring=False, events=(None,))
    frame = frame._replace(estimate=known)
    between = BetweenLooks(frame, due_s=21.0)
    shows_more = next_reading(frame)._replace(**changes)
    assert between.frame(20.1, shows_more) is None
    assert between.frame(20.1, next_reading(frame)) is not None


def test_one_that_is_due_is_looked_at() -> None:
    frame = make_frame(20.0, Word.WAIT, 40.0, phase=Phase.WAITING)
    between = BetweenLooks(frame, due_s=21.0)
    assert between.frame(20.99, next_reading(frame)) is not None
    assert between.frame(21.0, next_reading(frame)) is None


def test_every_reading_is_looked_at_while_the_platform_is_touched() -> None:
    frame = make_frame(20.0, Word.WAIT, 40.0, phase=Phase.WAITING)
    touched = frame.estimate._replace(disturbance=Disturbance.KNOCK)
    between = BetweenLooks(frame._replace(estimate=touched), due_s=21.0)
    assert between.frame(20.1, next_reading(frame)) is None
