"""Stamps from arrivals: jitter, bursts, losses, repeats, restarts, with and without device time."""

from itertools import pairwise

import numpy as np
import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.estimation.stamps.sample_clock import SampleClock

# Written out: what is imported would hold whatever it is.
LEAST_READINGS = 8


def stamps(arrivals, devices=None, sequences=None) -> list[float | None]:
    clock = SampleClock()
    return [
        clock.stamp(
            Reading(
                float(t),
                0.0,
                None if devices is None else float(devices[i]),
                None if sequences is None else int(sequences[i]),
            )
        )
        for i, t in enumerate(arrivals)
    ]


def errors_after(settle_s, weighed, stamped) -> np.ndarray:
    """Stamp less truth once settled, about its own mean: a constant delay cannot be seen."""
    kept = [
        (s - t) for t, s in zip(weighed, stamped, strict=True) if s is not None and t > settle_s
    ]
    return np.array(kept) - np.mean(kept)


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
def test_a_steady_clock_is_followed_exactly(rate_hz):
    arrivals = 3.0 + np.arange(200) / rate_hz
    assert stamps(arrivals) == pytest.approx(arrivals.tolist(), abs=1e-9)


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
def test_jitter_is_averaged_away(rate_hz):
    rng = np.random.default_rng(1)
    weighed = np.arange(int(40 * rate_hz)) / rate_hz
    arrivals = np.maximum.accumulate(weighed + rng.exponential(0.03, len(weighed)))
    assert errors_after(20.0, weighed, stamps(arrivals)).std() < 0.005


def test_a_scale_that_weighs_unevenly_is_not_forced_onto_a_beat():
    rng = np.random.default_rng(2)
    weighed = np.cumsum(rng.uniform(0.06, 0.14, 400))
    assert errors_after(15.0, weighed, stamps(weighed)).std() < 0.001


def test_bursts_are_spread_out_again():
    weighed = np.arange(1600) / 80.0
    arrivals = np.ceil((weighed + 0.001) / 0.1) * 0.1 + np.arange(1600) * 1e-6
    assert errors_after(5.0, weighed, stamps(arrivals)).std() < 0.006


def bunched(weighed, count=6) -> np.ndarray:
    places = np.arange(len(weighed))
    last = np.minimum(places // count * count + count - 1, len(weighed) - 1)
    return weighed[last] + 0.005 + places * 1e-6


def test_bunches_that_are_further_apart_than_a_pause_lasts_are_spread_out_again():
    weighed = np.arange(180) / 5.0
    stamped = stamps(bunched(weighed))
    assert stamped[36:].count(None) <= 1
    assert np.abs(errors_after(12.0, weighed, stamped)).max() < 0.2


def test_a_pause_between_such_bunches_is_one():
    weighed = np.concatenate((np.arange(120) / 5.0, 28.0 + np.arange(120) / 5.0))
    stamped = stamps(bunched(weighed))
    before, after = (
        np.mean([stamped[i] - weighed[i] for i in some])
        for some in (range(90, 120), range(150, 240))
    )
    assert after == pytest.approx(before, abs=0.15)


def test_packets_lost_one_in_two_are_no_bunches_that_wait_for_one_another():
    """Four readings each 0.8 s; with every other packet lost they too come at once, in between
    pauses as long as one another. Off by less than a packet, and not by more with each."""
    weighed = np.arange(400) / 5.0
    kept = ~np.isin(np.arange(400) // 4, [40, 42, 44, 46, 48])
    off = errors_after(12.0, weighed[kept], stamps(bunched(weighed, 4)[kept]))
    assert np.abs(off).max() < 0.8


def test_a_drifting_crystal_is_followed():
    weighed = np.cumsum(np.linspace(0.1, 0.1001, 1200))
    assert np.abs(errors_after(10.0, weighed, stamps(weighed))).max() < 0.005


def test_a_lost_reading_leaves_a_gap_of_one_period():
    weighed = np.delete(np.arange(300) / 10.0, [150, 151, 220])
    assert errors_after(5.0, weighed, stamps(weighed)) == pytest.approx(0.0, abs=1e-6)


def test_a_long_pause_is_no_drift():
    weighed = np.concatenate((np.arange(100) / 10.0, 14.03 + np.arange(100) / 10.0))
    stamped = stamps(weighed)
    assert stamped[101:] == pytest.approx(weighed[101:].tolist(), abs=0.06)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0, 80.0])
@pytest.mark.parametrize("held_s", [0.45, 0.8, 1.6])
def test_readings_held_up_and_sent_together_keep_their_moments(rate_hz, held_s):
    weighed = np.arange(int(20 * rate_hz)) / rate_hz
    held = (weighed > 10.0) & (weighed < 10.0 + held_s)
    arrivals = np.where(held, 10.0 + held_s + (weighed - 10.0) * 0.001, weighed)
    stamped = stamps(np.maximum.accumulate(arrivals))
    assert stamped.count(None) <= 2
    assert np.abs(errors_after(5.0, weighed, stamped)).max() < 0.005


@pytest.mark.parametrize("rate_hz", [10.0, 40.0, 80.0])
@pytest.mark.parametrize("jitter_s", [0.002, 0.008, 0.02])
def test_readings_that_never_came_are_no_hold(rate_hz, jitter_s):
    for seed in range(8):
        weighed = np.arange(int(20 * rate_hz)) / rate_hz
        late = np.random.default_rng(seed).exponential(jitter_s, len(weighed))
        came = (weighed < 10.0) | (weighed > 13.5)
        stamped = stamps(np.maximum.accumulate((weighed + late)[came]))
        assert np.abs(errors_after(5.0, weighed[came], stamped)).max() < 0.2


def test_sequence_numbers_show_losses_under_jitter_and_wrap():
    rng = np.random.default_rng(2)
    numbers = np.delete(np.arange(65000, 67400), rng.integers(100, 2300, 40))
    weighed = numbers / 80.0
    arrivals = np.maximum.accumulate(weighed + rng.exponential(0.03, len(weighed)))
    stamped = stamps(arrivals, sequences=numbers % 65536)
    assert errors_after(weighed[0] + 10.0, weighed, stamped).std() < 0.005


def period_s(numbers, device_s) -> float | None:
    clock = SampleClock()
    for number, at_s in zip(numbers, device_s, strict=True):
        clock.stamp(Reading(3.0 + float(at_s), 0.0, float(at_s), int(number) % 65536))
    return clock.period_s


def test_the_count_shows_losses_beside_device_time():
    numbers = np.sort(np.random.default_rng(5).choice(np.arange(65000, 66600), 1200, False))
    assert period_s(numbers, numbers / 80.0) == pytest.approx(1 / 80.0, rel=1e-6)


def test_a_count_that_begins_anew_is_no_loss():
    device_s = np.arange(400) / 80.0
    numbers = np.concatenate([np.arange(60200, 60400), np.arange(200)])
    assert period_s(numbers, device_s) == pytest.approx(1 / 80.0, rel=1e-6)


def test_a_number_that_comes_twice_is_dropped():
    assert stamps([0.0, 0.1, 0.1, 0.2], sequences=[7, 8, 8, 9])[2] is None


def test_device_time_makes_jitter_harmless():
    rng = np.random.default_rng(3)
    weighed = np.arange(400) / 10.0
    arrivals = np.maximum.accumulate(weighed + rng.exponential(0.05, 400))
    stamped = stamps(arrivals, devices=np.round(weighed * (1 + 5e-5) + 5.0, 3))
    assert errors_after(5.0, weighed, stamped).std() < 0.003


def test_readings_held_up_for_seconds_keep_their_moments_by_device_time():
    weighed = np.arange(100) / 10.0
    arrivals = np.where((weighed > 3.0) & (weighed < 8.0), 8.0, weighed)
    assert stamps(arrivals, devices=weighed + 5.0) == pytest.approx(weighed.tolist(), abs=1e-9)


def test_a_device_clock_that_slept_is_followed():
    devices = np.arange(100) / 10.0
    arrivals = devices + np.where(devices > 5.0, 10.0, 0.0)
    assert stamps(arrivals, devices=devices)[-1] == pytest.approx(arrivals[-1], abs=1e-9)


def test_a_device_clock_that_starts_anew_is_taken_up():
    arrivals = np.arange(100) / 10.0
    devices = np.concatenate((81.0 + np.arange(50) / 10.0, np.arange(50) / 10.0))
    assert stamps(arrivals, devices=devices) == pytest.approx(arrivals.tolist(), abs=1e-9)


def test_stamps_rise_strictly_whatever_comes():
    rng = np.random.default_rng(4)
    arrivals = np.cumsum(rng.choice([0.0, 0.001, 0.1, 2.5], 500))
    stamped = [s for s in stamps(arrivals) if s is not None]
    assert all(a < b for a, b in pairwise(stamped))


@pytest.mark.parametrize("device_per_s", [-1.0, 0.0])
def test_a_device_clock_that_does_not_run_forward_is_left_alone(device_per_s):
    """Going by it, every reading would come too late and be dropped."""
    weighed = np.arange(300) / 10.0
    stamped = stamps(weighed + 0.01, devices=100.0 + device_per_s * weighed)
    assert sum(s is None for s in stamped) < 8
    assert errors_after(5.0, weighed, stamped).std() < 0.001


def test_a_device_clock_set_back_once_is_still_gone_by():
    weighed = np.arange(400) / 10.0
    clock = SampleClock()
    for t in weighed:
        clock.stamp(Reading(float(t), 0.0, device_s=float(t + 50.0 - 40.0 * (t > 20.0))))
    assert clock.device_trusted


@pytest.mark.parametrize("packet", [1, 3])
def test_losses_from_the_first_reading_on_are_not_counted_into_the_period(packet):
    """With the period taken too long, stamps ran ahead of arrivals by half a second and back; now
    none is off by more than about a period."""
    rng = np.random.default_rng(4)
    weighed = np.arange(900) / 20.0
    kept = np.repeat(rng.random(900 // packet) >= 0.25, packet)
    arrivals = (weighed + rng.exponential(0.006, 900))[kept]
    off = errors_after(15.0, weighed[kept], stamps(arrivals))
    assert np.abs(off).max() < 0.06


@pytest.mark.parametrize("seed", [1, 12, 21, 23, 28])
def test_a_few_losses_among_the_first_readings_are_not_counted_into_the_period(seed):
    """With five of sixty lost the period was taken a twentieth too long and never found again:
    stamps ran off by 15 ms a second and jumped back, 80 ms at a time."""
    rng = np.random.default_rng(seed)
    weighed = np.arange(600) / 20.0
    kept = ~np.isin(np.arange(600), [9, 17, 26, 44, 58, 200, 350, 351, 480])
    arrivals = np.maximum.accumulate(weighed + rng.exponential(0.006, 600))[kept]
    off = errors_after(4.0, weighed[kept], stamps(arrivals))
    assert off.std() < 0.008


@pytest.mark.parametrize(("rate_hz", "packet", "jitter_s"), [(40.0, 6, 0.009), (80.0, 1, 0.012)])
def test_where_delays_hide_what_is_lost_arrivals_are_gone_by(rate_hz, packet, jitter_s):
    """Counted, a fifth of the readings lost made a steady flow swing by a quarter and more over
    0.4 s; by arrivals it does by what their delays make of it."""
    rng = np.random.default_rng(6)
    count = int(60 * rate_hz) // packet * packet
    weighed = np.arange(count) / rate_hz
    kept = np.repeat(rng.random(count // packet) >= 0.2, packet)
    arrivals = np.maximum.accumulate(weighed + rng.exponential(jitter_s, count))[kept]
    pairs = [(t, s) for t, s in zip(weighed[kept], stamps(arrivals), strict=True) if s is not None]
    assert len(pairs) > 0.97 * kept.sum()
    truth, stamped = np.array([pair for pair in pairs if pair[0] > 5.0]).T
    apart = int(0.4 * rate_hz)
    passed = (stamped[apart:] - stamped[:-apart]) / (truth[apart:] - truth[:-apart])
    assert passed.std() < 0.07


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
def test_delays_without_losses_are_not_gone_by(rate_hz):
    """However long: of 60 ms on average, they would make a flow swing by a fifth."""
    rng = np.random.default_rng(7)
    weighed = np.arange(int(60 * rate_hz)) / rate_hz
    arrivals = np.maximum.accumulate(weighed + rng.exponential(0.06, len(weighed)))
    off = errors_after(20.0, weighed, stamps(arrivals))
    assert off.std() < 0.01


def test_losses_are_counted_before_the_first_water_may_run():
    """Two seconds after the first reading a gap of half a second is one in the stamps, too."""
    weighed = np.arange(45) / 10.0
    lost = [2, 5, 6, 11, 15, 19, 24, *range(31, 36), 40]
    kept = ~np.isin(np.arange(45), lost)
    arrivals = weighed[kept] + np.random.default_rng(5).exponential(0.002, kept.sum())
    off = errors_after(2.5, weighed[kept], stamps(arrivals))
    assert np.abs(off).max() < 0.03


def test_the_period_is_given_once_enough_readings_have_come():
    clock = SampleClock()
    for number in range(LEAST_READINGS):
        assert clock.period_s is None
        clock.stamp(Reading(number / 10.0, 0.0))
    assert clock.period_s == pytest.approx(0.1)


def test_readings_that_all_arrive_at_once_have_no_period():
    clock = SampleClock()
    for _ in range(4 * LEAST_READINGS):
        clock.stamp(Reading(1.0, 0.0))
    assert clock.period_s is None


def test_readings_lost_among_the_first_leave_none_of_the_next_without_a_stamp():
    """The period is too long for a while: stamps counted by it would run ahead of arrivals."""
    kept = [0, 1, 2, 3, 12, 16, 20, *range(21, 34), *range(38, 60)]
    arrivals = np.array(kept) / 10.0
    stamped = stamps(arrivals)
    assert None not in stamped
    assert max(s - t for s, t in zip(stamped, arrivals, strict=True)) < 0.15
