"""Lost and doubled readings, found by arrivals alone."""

import numpy as np
import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.estimation.stamps.sample_clock import SampleClock

SETTLE = 60


def stamped(arrivals) -> list[float | None]:
    clock = SampleClock()
    return [clock.stamp(Reading(float(t), 0.0)) for t in arrivals]


def jittered(weighed, rng, jitter_s) -> np.ndarray:
    return np.maximum.accumulate(weighed + 0.005 + rng.exponential(jitter_s, len(weighed)))


@pytest.mark.parametrize("jitter_s", [0.0, 0.01, 0.03])
def test_a_loss_is_found_within_half_a_second_at_10_hz(jitter_s):
    for seed in range(12):
        rng = np.random.default_rng(seed)
        weighed = np.delete(np.arange(200) / 10.0, 120)
        stamps = stamped(jittered(weighed, rng, jitter_s))
        before = [s - t for s, t in zip(stamps[SETTLE:119], weighed[SETTLE:119], strict=True) if s]
        after = [s - t for s, t in zip(stamps[125:], weighed[125:], strict=True) if s]
        assert np.median(after) == pytest.approx(np.median(before), abs=0.02)


def test_a_reading_that_may_as_well_be_a_period_later_is_held_back():
    weighed = np.delete(np.arange(200) / 10.0, 120)
    for seed in range(12):
        stamps = stamped(jittered(weighed, np.random.default_rng(seed), 0.03))
        off = np.array([s - t for s, t in zip(stamps[118:], weighed[118:], strict=True) if s])
        assert np.sum(np.abs(off - np.median(off)) > 0.06) <= 2


def test_jitter_alone_is_seldom_taken_for_losses():
    wrong = readings = 0
    for seed in range(10):
        weighed = np.arange(400) / 10.0
        stamps = stamped(jittered(weighed, np.random.default_rng(seed), 0.03))
        off = np.array([s - t for s, t in zip(stamps, weighed, strict=True) if s and t > 6.0])
        wrong += int(np.sum(np.abs(off - np.median(off)) > 0.05))
        readings += len(off)
    assert wrong / readings < 0.005


def test_an_early_loss_is_forgotten():
    """Two losses among the first readings throw the period off; ten seconds later nothing shows."""
    weighed = np.delete(np.arange(300) / 10.0, [2, 6])
    stamps = stamped(jittered(weighed, np.random.default_rng(3), 0.01))
    off = np.array([s - t for s, t in zip(stamps, weighed, strict=True) if s and t > 10.0])
    assert np.abs(off - np.median(off)).max() < 0.03


def test_a_reading_that_came_twice_is_taken_out_of_the_count():
    weighed = np.insert(np.arange(200) / 10.0, 120, 12.0 - 0.1)
    stamps = stamped(weighed + 1e-4 * np.arange(201) * (np.arange(201) == 120))
    assert stamps[130:] == pytest.approx(weighed[130:].tolist(), abs=0.01)


def test_a_radio_that_holds_readings_back_is_not_taken_to_lose_them():
    """Each fifth second a reading comes with the next one, a whole period late."""
    weighed = np.arange(600) / 10.0
    arrivals = weighed + 0.0001 * (np.arange(600) % 3)
    held = np.arange(49, 599, 50)
    arrivals[held] = arrivals[held + 1]
    stamps = stamped(arrivals)
    off = np.array([s - t for s, t in zip(stamps, weighed, strict=True) if s and t > 6.0])
    assert np.abs(off).max() < 0.01
    assert sum(s is None for s in stamps[60:]) <= len(held)


@pytest.mark.parametrize(
    ("rate_hz", "jitter_s", "share", "most_wrong", "most_held"),
    [
        (10.0, 0.03, 0.0, 0.001, 0.005),
        (20.0, 0.006, 0.01, 0.004, 0.015),
        (20.0, 0.015, 0.01, 0.048, 0.02),
        (10.0, 0.045, 0.0, 0.001, 0.003),
    ],
)
def test_few_are_stamped_by_a_wrong_count_and_few_held_back(
    rate_hz: float, jitter_s: float, share: float, most_wrong: float, most_held: float
) -> None:
    """Held to be in doubt sooner, many would be given no stamp; later, more would be given a wrong
    one; and long delays would pass for losses, as where the first few are gone by alone."""
    wrong = held = readings = 0
    for seed in range(10):
        rng = np.random.default_rng(seed)
        count = int(30.0 * rate_hz)
        weighed = np.arange(count) / rate_hz
        arrivals = np.maximum.accumulate(weighed + 0.005 + rng.exponential(jitter_s, count))
        kept = rng.uniform(size=count) >= share
        late = [
            None if s is None else s - t
            for s, t in zip(stamped(arrivals[kept].round(4)), weighed[kept], strict=True)
            if t > 6.0
        ]
        off = np.array([one for one in late if one is not None])
        held += len(late) - len(off)
        wrong += int(np.sum(np.abs(off - np.median(off)) > 0.5 / rate_hz))
        readings += len(late)
    assert wrong / readings <= most_wrong
    assert held / readings <= most_held


@pytest.mark.parametrize(("share", "least", "most"), [(0.01, 0.0, 0.03), (0.2, 0.85, 1.0)])
def test_arrivals_are_gone_by_where_many_are_lost_and_not_for_a_few(
    share: float, least: float, most: float
) -> None:
    """Delays of 30 ms at ten readings a second: one count that was wrong costs the flow less than
    all of these delays."""
    as_they_came = readings = 0
    for seed in range(24):
        rng = np.random.default_rng(seed)
        weighed = np.arange(300) / 10.0
        arrivals = jittered(weighed, rng, 0.03)[rng.uniform(size=300) >= share].round(4)
        late = [s - a for s, a in zip(stamped(arrivals), arrivals, strict=True) if s and a > 8.0]
        as_they_came += sum(abs(one) < 0.0005 for one in late)
        readings += len(late)
    assert least <= as_they_came / readings <= most


@pytest.mark.parametrize(
    ("rate_hz", "share", "packet", "jitter_s", "most_s"),
    [(10.0, 0.03, 1, 0.008, 0.004), (10.0, 0.1, 1, 0.008, 0.004), (12.5, 0.2, 4, 0.01, 0.006)],
)
def test_where_readings_are_lost_again_and_again_stamps_keep_to_the_beat(
    rate_hz: float, share: float, packet: int, jitter_s: float, most_s: float
) -> None:
    """Taken for late at first, each loss would put a reading or two off by a period; with its
    period put right by a new count at every turn, the line would wander by a quarter of one."""
    squares = []
    for seed in range(8):
        rng = np.random.default_rng(seed)
        weighed = np.arange(int(60.0 * rate_hz)) / rate_hz
        kept = np.repeat(rng.uniform(size=len(weighed) // packet + 1) >= share, packet)
        kept = kept[: len(weighed)]
        arrivals = jittered(weighed, rng, jitter_s)[kept].round(4)
        late = [
            s - t for s, t in zip(stamped(arrivals), weighed[kept], strict=True) if s and t > 20.0
        ]
        squares.append(np.var(late))
    assert np.sqrt(np.mean(squares)) < most_s


def test_a_late_reading_counted_as_two_costs_one_stamp_and_no_more():
    """One in eight is lost, so that each interval is counted; then one comes 70 ms late."""
    weighed = np.delete(np.arange(400) / 10.0, range(10, 300, 8))
    late = int(np.searchsorted(weighed, 35.0))
    arrivals = weighed + 0.002 * (np.arange(len(weighed)) % 3)
    arrivals[late] += 0.07
    off = [s and s - t for s, t in zip(stamped(arrivals), weighed, strict=True)]
    assert off[late] == pytest.approx(0.1, abs=0.01)
    assert off[late + 1 :] == pytest.approx([0.0] * len(off[late + 1 :]), abs=0.01)


@pytest.mark.parametrize("seed", [1, 2])
def test_after_intervals_that_were_counted_an_outage_lasts_as_long_as_it_does(seed):
    """Two late arrivals look like losses, and each interval is counted for a while. The time which
    that took was then a pause like the outage, as if readings waited for one another, and the
    outage was one period long."""
    weighed = np.arange(800) / 20.0
    arrivals = weighed + 0.01 + np.random.default_rng(seed).exponential(0.001, len(weighed))
    arrivals[[70, 100]] += 0.02
    arrivals[[69, 99]] -= 0.006
    came = [place for place in range(len(weighed)) if not 600 <= place < 644]
    stamps = stamped(arrivals[came])
    off = [s - t for s, t in zip(stamps, weighed[came], strict=True) if s and t > 30.0]
    assert min(off) == pytest.approx(0.01, abs=0.01)
