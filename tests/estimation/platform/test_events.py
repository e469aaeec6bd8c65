"""What is reported of the platform is put together from single turns."""

import math

import pytest

from pourcoach.domain.estimate import Disturbance, EventKind, PlatformEvent
from pourcoach.estimation.platform.events import EventLog


def log_of(*events: PlatformEvent) -> EventLog:
    log = EventLog()
    for event in events:
        log.add(event)
    return log


def shape(log: EventLog) -> list[tuple[EventKind, float, float | None]]:
    return [(one.kind, one.start_s, one.end_s) for one in log.events]


def test_blows_close_together_are_one() -> None:
    log = log_of(
        PlatformEvent(EventKind.KNOCK, 1.0, 1.2),
        PlatformEvent(EventKind.KNOCK, 1.6, 1.7),
        PlatformEvent(EventKind.KNOCK, 2.5, 2.6),
    )
    assert shape(log) == [(EventKind.KNOCK, 1.0, 1.7), (EventKind.KNOCK, 2.5, 2.6)]


@pytest.mark.parametrize(
    ("gone_s", "kind"),
    [(1.7, EventKind.KNOCK), (5.0, EventKind.LEAN), (30.0, EventKind.PLACED)],
)
def test_what_is_set_down_and_soon_gone_again_was_a_hand(gone_s: float, kind: EventKind) -> None:
    log = log_of(PlatformEvent(EventKind.PLACED, 1.0, 1.2, 40.0))
    log.returned(gone_s - 0.2, gone_s, -40.0, 0.9, -40.0)
    assert log.events[0].kind is kind
    assert len(log.events) == (2 if kind is EventKind.PLACED else 1)


def test_a_hand_that_goes_takes_along_what_was_taken_for_water_under_it() -> None:
    log = log_of(PlatformEvent(EventKind.PLACED, 1.0, 1.2, 31.0))
    log.returned(3.8, 4.0, -52.0, 0.9, -31.0)
    assert shape(log) == [(EventKind.LEAN, 1.0, 4.0)]


def test_what_is_put_back_was_lifted_even_if_it_looked_like_a_tare() -> None:
    log = log_of(PlatformEvent(EventKind.SCALE_TARE, 1.0, 1.1, -300.0))
    log.returned(4.0, 4.2, 300.0, 0.9, 300.0)
    assert [one.kind for one in log.events] == [EventKind.LIFTED, EventKind.RETURNED]


def test_what_is_looked_at_again_is_forgotten() -> None:
    log = log_of(PlatformEvent(EventKind.LEAN, 1.0, 1.2), PlatformEvent(EventKind.LEAN, 3.0, 3.2))
    log.rewind(2.0)
    assert shape(log) == [(EventKind.LEAN, 1.0, 1.2)]


@pytest.mark.parametrize(
    ("kind", "disturbance", "lasts_s"),
    [
        (EventKind.KNOCK, Disturbance.KNOCK, 0.5),
        (EventKind.LIFTED, Disturbance.LIFTED, 1.0),
        (EventKind.SPIKE, None, 0.0),
        (EventKind.SCALE_TARE, None, 0.0),
    ],
)
def test_a_disturbance_is_in_force_for_a_while(
    kind: EventKind, disturbance: Disturbance | None, lasts_s: float
) -> None:
    log = log_of(PlatformEvent(kind, 1.0, 2.0, -50.0))
    assert log.disturbance(1.99 + lasts_s) is disturbance
    assert log.disturbance(2.01 + lasts_s) is None


@pytest.mark.parametrize(("gone_s", "kind"), [(14.0, EventKind.LEAN), (18.0, EventKind.PLACED)])
def test_no_hand_presses_for_longer_than_a_quarter_of_a_minute(
    gone_s: float, kind: EventKind
) -> None:
    log = log_of(PlatformEvent(EventKind.PLACED, 1.0, 1.2, 40.0))
    log.returned(gone_s - 0.2, gone_s, -40.0, 0.9, -40.0)
    assert log.events[0].kind is kind


@pytest.mark.parametrize(("gone_g", "same"), [(-109.0, True), (-115.0, False)])
def test_what_goes_again_is_the_same_to_a_tenth(gone_g: float, same: bool) -> None:
    """Drops go with a thing that was set down; a thing half as heavy again is another."""
    log = log_of(PlatformEvent(EventKind.PLACED, 1.0, 1.2, 100.0))
    log.returned(4.8, 5.0, gone_g, 0.9, gone_g)
    assert (len(log.events) == 1) is same


@pytest.mark.parametrize(("grams", "hand"), [(50.0, True), (70.0, False)])
def test_what_is_heavier_than_a_hand_presses_was_none(grams: float, hand: bool) -> None:
    log = log_of(PlatformEvent(EventKind.PLACED, 2.0, 2.2, grams))
    assert log.let_go(1.9, 4.0, 4.2, 0.9) is hand


def test_hands_that_came_together_may_go_one_after_the_other() -> None:
    log = log_of(
        PlatformEvent(EventKind.PLACED, 1.0, 1.2, 51.0),
        PlatformEvent(EventKind.KNOCK, 3.0, 3.2),
        PlatformEvent(EventKind.LIFTED, 6.0, 6.3, -40.0),
    )
    log.returned(7.4, 7.6, -11.0, 0.9, -11.0)
    assert shape(log) == [(EventKind.LEAN, 1.0, 7.6), (EventKind.KNOCK, 3.0, 3.2)]


def test_what_goes_after_another_thing_has_gone_is_not_all_that_was_set_down() -> None:
    log = log_of(
        PlatformEvent(EventKind.PLACED, 1.0, 1.2, 80.0),
        PlatformEvent(EventKind.LIFTED, 6.0, 6.3, -40.0),
    )
    log.returned(7.4, 7.6, -11.0, 0.9, -11.0)
    assert [one.change_g for one in log.events] == [80.0, -40.0, -11.0]


def test_since_when_a_hand_has_pressed_is_known_once_it_has_let_go() -> None:
    log = log_of(PlatformEvent(EventKind.PLACED, 2.0, 2.2, 31.0))
    assert log.let_go(1.9, 4.0, 4.2, 0.9)
    assert log.pressed_s(4.2) == pytest.approx(1.4)
    assert log.pressed_s(4.3) == math.inf
    blow = log_of(PlatformEvent(EventKind.LEAN, 2.0, 2.9))
    assert blow.pressed_s(2.9) == math.inf
    assert log_of(PlatformEvent(EventKind.LEAN, 2.0, 4.2, -12.0)).pressed_s(4.2) == math.inf
