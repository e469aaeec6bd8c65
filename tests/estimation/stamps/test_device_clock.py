"""Whether the scale's own clock runs: what a reading that overtook another does to it, and what a
clock does that stands still or was set anew."""

import pytest

from pourcoach.estimation.stamps.device_clock import DeviceClockWatch

STEP_S = 0.1


def _trusted(*steps_s: float) -> bool:
    """After readings every tenth of a second whose device times differ by so much."""
    watch, device_s = DeviceClockWatch(), 50.0
    watch.see(0.0, device_s)
    for place, step_s in enumerate(steps_s, start=1):
        device_s += step_s
        watch.see(place * STEP_S, device_s)
    return watch.trusted


def _back(times: int, by_s: float = 0.1) -> list[float]:
    return [-by_s, 0.3] * times


@pytest.mark.parametrize(("times", "trusted"), [(2, True), (3, False)])
def test_readings_overtake_one_another_but_rarely(times: int, trusted: bool) -> None:
    """Trusted for longer, a clock that jumps about would stamp the readings; for less, two packets
    that changed places would cost a good clock."""
    assert _trusted(*_back(times)) is trusted


@pytest.mark.parametrize(("forward", "trusted"), [(80, False), (120, True)])
def test_what_happened_long_ago_is_forgotten(forward: int, trusted: bool) -> None:
    """Else a long brew over a radio would lose its clock in the end."""
    assert _trusted(*_back(2), *[STEP_S] * forward, *_back(2)) is trusted


@pytest.mark.parametrize(("readings", "trusted"), [(4, True), (6, False)])
def test_a_clock_that_stands_still_for_half_a_second_does_not_run(
    readings: int, trusted: bool
) -> None:
    """Readings that came twice stand still as well, but not for so long."""
    assert _trusted(STEP_S, *[0.0] * readings) is trusted


@pytest.mark.parametrize(("by_s", "trusted"), [(1.5, False), (2.5, True)])
def test_a_long_step_back_is_a_clock_that_was_set_anew(by_s: float, trusted: bool) -> None:
    """Readings are not on their way for two seconds."""
    assert _trusted(*_back(4, by_s)) is trusted
