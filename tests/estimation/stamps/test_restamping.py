"""Stamps in hindsight: what a clock that follows arrivals had to guess, all of them show."""

import numpy as np
import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.domain.slices import result_of
from pourcoach.estimation.stamps.restamping import CHUNK, _wander, restamped
from pourcoach.estimation.stamps.sample_clock import SampleClock

NOISE_G, FLOW_GPS = 0.05, 5.0


def errors(weighed, arrivals, seed=0, *, evenly=False, least_kept=0.9):
    """Rms error of the clock's stamps, of those in hindsight, and what these are stated to be off
    by, s; a delay that all have in common cannot be seen. ``evenly``: of a clock that counts every
    reading as one, whatever was lost."""
    rng = np.random.default_rng(seed)
    grams = FLOW_GPS * weighed + NOISE_G * rng.standard_normal(len(weighed))
    clock = SampleClock()
    stamps = [
        clock.stamp(Reading(float(a), float(g))) for a, g in zip(arrivals, grams, strict=True)
    ]
    settled = np.array([s is not None and t > 8.0 for s, t in zip(stamps, weighed, strict=True)])
    live = np.array([s for s, one in zip(stamps, settled, strict=True) if one])
    if evenly:
        live = np.linspace(live[0], live[-1], len(live))
    found = result_of(restamped(live, arrivals[settled], grams[settled], NOISE_G**2))
    off_live = live - weighed[settled]
    off = (found.times_s - weighed[settled])[found.kept]
    assert np.mean(found.kept) > least_kept
    assert np.all(np.diff(found.times_s[found.kept]) > 0.0)
    return (
        float(np.std(off_live)),
        float(np.std(off)),
        float(np.sqrt(np.mean(found.vars_s2[found.kept]))),
    )


def lossy(rate_hz, share, packet, jitter_s, seed, lasts_s=24.0):
    rng = np.random.default_rng(seed)
    weighed = np.arange(int(lasts_s * rate_hz)) / rate_hz
    kept = np.repeat(rng.uniform(size=len(weighed) // packet + 1) >= share, packet)[: len(weighed)]
    arrivals = weighed + 0.01 + rng.exponential(jitter_s, len(weighed))
    return weighed[kept], np.maximum.accumulate(arrivals)[kept]


@pytest.mark.parametrize("jitter_s", [0.0, 0.006])
@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
def test_stamps_that_are_right_are_kept(rate_hz, jitter_s):
    rng = np.random.default_rng(1)
    weighed = np.arange(int(24.0 * rate_hz)) / rate_hz
    arrivals = np.maximum.accumulate(weighed + rng.exponential(jitter_s + 1e-9, len(weighed)))
    live, off, stated = errors(weighed, arrivals)
    assert off == pytest.approx(live)
    assert stated < 0.002


@pytest.mark.parametrize(("rate_hz", "packet"), [(10.0, 1), (20.0, 1), (10.0, 4), (20.0, 3)])
def test_a_fifth_lost_without_numbers_is_put_back_in_its_place(rate_hz, packet):
    live, off, _ = errors(*lossy(rate_hz, 0.2, packet, 0.006, 3), evenly=True)
    assert live > 0.03
    assert off < 0.01


@pytest.mark.parametrize(("rate_hz", "packet"), [(100.0, 3), (80.0, 1)])
def test_delays_of_half_a_period_do_not_hide_the_beat(rate_hz, packet):
    """The readings that came soonest still show it, and which of the others waited for them."""
    for evenly in (False, True):
        live, off, stated = errors(*lossy(rate_hz, 0.2, packet, 0.006, 4), evenly=evenly)
        assert live > 0.005
        assert off < 0.6 * live
        assert off < 0.004
        assert stated == pytest.approx(off, rel=0.5)


@pytest.mark.parametrize("held_up_s", [0.2, 0.5])
def test_readings_that_a_link_held_up_come_before_the_one_that_they_waited_for(held_up_s):
    """Sixteen or forty of them at once, four times in a pour."""
    for seed in range(3):
        weighed, arrivals = lossy(80.0, 0.1, 1, 0.0075, seed)
        for at_s in (10.0, 14.0, 18.0, 21.0):
            held = (arrivals > at_s) & (arrivals < at_s + held_up_s)
            arrivals[held] = at_s + held_up_s
        arrivals = np.maximum.accumulate(arrivals)
        live, off, stated = errors(weighed, arrivals, seed)
        assert off < 0.6 * live
        assert off < 3.5 * stated


@pytest.mark.parametrize("seed", range(4))
def test_readings_that_wait_for_one_another_are_put_on_the_beat(seed):
    """Taken for a scale's bunches, they were left as they came, and said to be sure."""
    live, off, stated = errors(*lossy(80.0, 0.2, 3, 0.01, seed, lasts_s=40.0), seed)
    assert live > 0.009
    assert off < 0.7 * live
    assert stated == pytest.approx(off, rel=0.5)


@pytest.mark.parametrize("seed", range(8))
def test_readings_that_wait_for_one_another_are_no_beat_of_their_own(seed):
    """Counted one by one, a few that came together made any period stand out."""
    live, off, stated = errors(*lossy(80.0, 0.2, 1, 0.02, seed, lasts_s=24.0), least_kept=0.6)
    assert off < 1.2 * live
    assert stated == pytest.approx(off, rel=0.5)


@pytest.mark.parametrize(
    ("rate_hz", "packet", "jitter_s", "lasts_s"),
    [(40.0, 6, 0.02, 14.0), (40.0, 6, 0.03, 24.0)],
)
def test_where_delays_hide_the_beat_arrivals_are_gone_by_and_say_how_far(
    rate_hz, packet, jitter_s, lasts_s
):
    """Waits for one another, too, are errors of their stamps."""
    weighed, arrivals = lossy(rate_hz, 0.2, packet, jitter_s, 2, lasts_s=lasts_s)
    live, off, stated = errors(weighed, arrivals, least_kept=0.8)
    assert live == pytest.approx(off, rel=0.1)
    assert stated == pytest.approx(off, rel=0.35)


def test_stamps_rise_from_one_chunk_to_the_next():
    """At the seam the first of a chunk comes before the last of the one before: it is left out."""
    weighed, arrivals = lossy(20.0, 0.2, 1, 0.03, 6, lasts_s=160.0)
    grams = FLOW_GPS * weighed + NOISE_G * np.random.default_rng(6).standard_normal(len(weighed))
    evenly = np.linspace(arrivals[0], arrivals[-1], len(arrivals))
    found = result_of(restamped(evenly, arrivals, grams, NOISE_G**2))
    assert np.all(np.diff(found.times_s[found.kept]) > 0.0)
    assert not found.kept[CHUNK]


def test_bunches_whose_beat_delays_hide_are_gone_by_as_they_come():
    """Counted on from bunch to bunch, each reading lost shifted all that follow."""
    for seed in range(3):
        rng = np.random.default_rng(seed)
        weighed = np.arange(int(30.0 * 80.0)) / 80.0
        last = np.minimum(np.arange(len(weighed)) // 3 * 3 + 2, len(weighed) - 1)
        late_s = rng.exponential(0.009, len(weighed))
        arrivals = np.maximum.accumulate((weighed + late_s)[last])
        kept = rng.uniform(size=len(weighed)) >= 0.05
        _, off, stated = errors(weighed[kept], arrivals[kept], seed, evenly=True)
        assert off < 0.011
        assert off < 1.5 * stated


def test_a_reading_missing_from_a_bunch_is_found_by_the_weight():
    rng = np.random.default_rng(5)
    weighed = np.arange(480) / 20.0
    arrivals = weighed[np.arange(480) // 3 * 3 + 2] + 0.01 + np.repeat(
        rng.exponential(0.005, 160), 3
    )  # fmt: skip
    kept = rng.uniform(size=480) >= 0.05
    live, off, stated = errors(weighed[kept], arrivals[kept])
    assert live > 0.02
    assert off < 0.015
    assert stated > 0.0


def test_one_missing_where_water_stops_is_found_there():
    """On a straight path from the water to the rest after it, the others of its bunch were moved
    for it, and said to be sure."""
    weighed = np.arange(120) / 5.0
    arrivals = weighed[np.arange(120) // 6 * 6 + 5] + 0.01
    kept = np.arange(120) != 65
    noise_g = 0.02 * np.random.default_rng(3).standard_normal(120)
    grams = 6.5 * np.minimum(weighed, weighed[65] - 0.1) + noise_g
    found = result_of(restamped(weighed[kept], arrivals[kept], grams[kept], 0.02**2))
    assert np.all(found.kept)
    assert np.ptp(found.times_s - weighed[kept]) < 0.06


@pytest.mark.parametrize("late_s", [0.1, 0.105])
def test_one_that_came_late_is_not_taken_for_the_one_after(late_s):
    """At first it looks as if a reading had been lost before it; the next shows otherwise."""
    rng = np.random.default_rng(8)
    weighed = np.arange(200) / 8.0
    arrivals = weighed + 0.04 + rng.exponential(0.003, len(weighed))
    arrivals[120] += late_s
    live, off, _ = errors(weighed, np.maximum.accumulate(arrivals))
    assert live > 0.008
    assert off < 0.004


def test_one_that_is_counted_too_early_is_put_into_the_gap_after_it():
    rng = np.random.default_rng(9)
    weighed = np.delete(np.arange(100) / 5.0, [40, 60, 61])
    arrivals = weighed + 0.01 + rng.exponential(0.004, len(weighed))
    stamps = weighed.copy()
    stamps[40] -= 0.2
    found = result_of(restamped(stamps, arrivals, FLOW_GPS * weighed, NOISE_G**2))
    assert np.std(found.times_s - weighed) < 0.002


def test_stamps_that_lie_all_over_are_made_anew():
    """The clock had not found its period yet when the pour began."""
    weighed, arrivals = lossy(5.0, 0.2, 1, 0.006, 6)
    stamps = weighed + 0.12 * np.sin(7.0 * weighed) * (weighed < 8.0)
    found = result_of(restamped(stamps, arrivals, FLOW_GPS * weighed, NOISE_G**2))
    assert np.std(found.times_s - weighed) < 0.01


def test_a_radio_that_sends_at_its_own_moments_hides_no_beat():
    """With a slot every 29 ms, 100 ms become 87 or 116: the usual step is an eighth too short."""
    weighed, arrivals = lossy(10.0, 0.03, 1, 0.001, 6)
    arrivals = np.ceil(arrivals / 0.029) * 0.029
    _, off, _ = errors(weighed, arrivals, evenly=True)
    assert off < 0.003


@pytest.mark.parametrize("seed", range(6))
def test_losses_spread_over_bunches_are_found_where_each_moves_the_stamps_a_little(seed):
    """The count falls behind by one in every fifth bunch and is mended again and again."""
    rng = np.random.default_rng(seed)
    weighed = np.arange(240) / 5.0
    arrivals = weighed[np.arange(240) // 6 * 6 + 5] + np.repeat(rng.exponential(0.005, 40), 6)
    kept = rng.uniform(size=240) >= 0.03
    live, off, _ = errors(weighed[kept], arrivals[kept], seed)
    assert off < 0.08 < live


def share_taken_for_wrong(wander_s):
    """Of stamps that wander by so much, from block to block, under delays of half a period."""
    found = []
    for seed in range(200):
        rng = np.random.default_rng(seed)
        stamps = np.arange(120) / 10.0
        delays = rng.exponential(0.05, 120) + np.repeat(wander_s * rng.standard_normal(10), 12)
        found.append(_wander(stamps, stamps + delays)[1])
    return np.mean(found)


def test_stamps_are_taken_for_wrong_when_they_wander_more_than_delays_make_them():
    assert share_taken_for_wrong(0.0) < 0.05
    assert share_taken_for_wrong(0.05) > 0.6


def _rms_ms(rate_hz: float, share: float, bunch: int) -> tuple[float, float]:
    """Of eight pours whose flow wanders, and of which a share is lost: how far stamps are off, and
    are said to be."""
    squares, stated = [], []
    for seed in range(8):
        rng = np.random.default_rng(seed)
        weighed = np.arange(int(24.0 * rate_hz)) / rate_hz
        last = np.minimum(np.arange(len(weighed)) // bunch * bunch + bunch, len(weighed)) - 1
        late = weighed + 0.01 + rng.exponential(0.006, len(weighed))
        kept = rng.uniform(size=len(weighed)) >= share
        arrivals = np.round(np.maximum.accumulate(late[last]), 4)[kept]
        flow = FLOW_GPS * (1.0 + 0.15 * np.sin(np.pi * weighed))
        grams = (np.cumsum(flow) / rate_hz + NOISE_G * rng.standard_normal(len(weighed)))[kept]
        clock = SampleClock()
        stamps = [
            clock.stamp(Reading(float(a), float(g))) for a, g in zip(arrivals, grams, strict=True)
        ]
        known = np.array(
            [s is not None and t > 6.0 for s, t in zip(stamps, weighed[kept], strict=True)]
        )
        live = np.array([s for s, one in zip(stamps, known, strict=True) if one])
        found = result_of(restamped(live, arrivals[known], grams[known], NOISE_G**2))
        off = (found.times_s - weighed[kept][known])[found.kept]
        squares.append(np.mean((off - np.median(off)) ** 2))
        stated.append(np.mean(found.vars_s2[found.kept]))
    return 1000.0 * float(np.sqrt(np.mean(squares))), 1000.0 * float(np.sqrt(np.mean(stated)))


@pytest.mark.parametrize(
    ("rate_hz", "share", "bunch", "most_ms", "stated"),
    [
        (20.0, 0.2, 1, 3.0, 0.94),
        (20.0, 0.1, 3, 8.0, 8.5),
        (80.0, 0.03, 6, 5.0, 4.3),
        (80.0, 0.15, 6, 8.0, 10.2),
    ],
)
def test_what_the_clock_made_of_losses_is_put_right_and_no_more_is_claimed(
    rate_hz: float, share: float, bunch: int, most_ms: float, stated: float
) -> None:
    """Looked at anew later, or for no bunches as large as a packet's, stamps would stay wrong by
    half a bunch; for periods far from the usual one, a third of it would pass for the beat. What
    the weight's path leaves open between two bunches is said: neither nothing nor all."""
    off_ms, stated_ms = _rms_ms(rate_hz, share, bunch)
    assert off_ms < most_ms
    assert stated_ms == pytest.approx(stated, rel=0.3)
