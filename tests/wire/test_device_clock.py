"""The scale's millisecond counter wraps; a restart sets it back."""

from pourcoach.wire.device_clock import DeviceClock


def test_wrap_goes_on_rising() -> None:
    clock = DeviceClock()
    before, after = clock.seconds(2**32 - 10), clock.seconds(90)
    assert round(after - before, 6) == 0.1


def test_a_restart_is_taken_as_it_comes() -> None:
    clock = DeviceClock()
    assert [clock.seconds(ms) for ms in (900_000, 50, 150)] == [900.0, 0.05, 0.15]
