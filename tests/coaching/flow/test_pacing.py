"""How fast and how unsteadily the pour that runs is poured."""

from math import pi, sin
from statistics import fmean, pstdev

import pytest

from pourcoach.coaching.flow.pacing import Pacing, RecentFlow
from pourcoach.coaching.flow.trace import Sample
from pourcoach.domain.pour import Pour

# Written out: what is imported would hold whatever it is.
ANSWER_S, MEMORY_S = 1.0, 4.0

SPACING_S = 0.05
POUR = Pour(10.0, 0.0)


def samples(flows: list[float], from_s: float = 0.0) -> list[Sample]:
    return [Sample(from_s + place * SPACING_S, flow, 0.1) for place, flow in enumerate(flows)]


def swinging(lasts_s: float, cv: float, mean_gps: float = 5.0) -> list[float]:
    """A sine of half a cycle a second."""
    times = [place * SPACING_S for place in range(round(lasts_s / SPACING_S))]
    return [mean_gps * (1.0 + 2**0.5 * cv * sin(pi * t_s)) for t_s in times]


def test_all_of_a_short_flow_counts_alike() -> None:
    flows = swinging(0.9 * MEMORY_S, 0.2)
    recent = RecentFlow()
    for sample in samples(flows):
        recent.feed(sample)
    # The first value only sets the clock going.
    assert recent.mean_gps == pytest.approx(fmean(flows[1:]), abs=0.01)
    assert recent.cv == pytest.approx(pstdev(flows[1:]) / fmean(flows[1:]), abs=0.005)


def test_what_is_long_ago_is_forgotten() -> None:
    recent = RecentFlow()
    for sample in samples([9.0] * 100 + [5.0] * 600):
        recent.feed(sample)
    assert recent.mean_gps == pytest.approx(5.0, abs=0.05)
    assert recent.cv < 0.05


def test_a_long_hole_does_not_count_more_than_all() -> None:
    recent = RecentFlow()
    recent.feed(Sample(0.0, 5.0, 0.1))
    recent.feed(Sample(60.0, 6.0, 0.1))
    assert recent.mean_gps == 6.0


def test_the_ramp_is_left_out() -> None:
    pacing = Pacing(1.0)
    for sample in samples([1.0] * 20 + [5.0] * 40, POUR.start_s):
        pacing.feed(sample, POUR)
    assert pacing.flow.mean_gps == pytest.approx(5.0)


def test_the_answer_is_looked_at_only_once_there_was_time_for_one() -> None:
    pacing = Pacing(1.0)
    for sample in samples([7.0] * 80, POUR.start_s):
        pacing.feed(sample, POUR)
    corrected_s = POUR.start_s + 80 * SPACING_S
    pacing.corrected(corrected_s)
    assert pacing.since_correction.lasted_s == 0.0
    flows = [7.0] * round(0.5 / SPACING_S) + [5.0] * round((ANSWER_S + 1.5) / SPACING_S)
    for sample in samples(flows, corrected_s):
        pacing.feed(sample, POUR)
    assert pacing.since_correction.mean_gps == pytest.approx(5.0)
    assert pacing.since_correction.cv == pytest.approx(0.0)
    assert pacing.flow.mean_gps > 5.1


def test_another_pour_begins_afresh() -> None:
    pacing = Pacing(1.0)
    for sample in samples([7.0] * 80, POUR.start_s):
        pacing.feed(sample, POUR)
    pacing.feed(Sample(30.5, 5.0, 0.1), Pour(30.0, 28.0))
    assert pacing.flow.lasted_s == pacing.since_correction.lasted_s == 0.0


def test_what_the_readings_leave_open_is_no_wander_of_the_hand() -> None:
    recent = RecentFlow()
    for place, sample in enumerate(samples([5.0] * 80)):
        noise_gps = 1.0 if place % 8 < 4 else -1.0
        recent.feed(Sample(sample.t_s, 5.0 + noise_gps, error_gps=1.2))
    assert recent.cv == 0.0


def test_one_odd_value_in_a_few_seconds_is_no_wander() -> None:
    recent = RecentFlow()
    for sample in samples([5.0] * 70 + [10.0] * 5 + [5.0] * 5):
        recent.feed(sample)
    assert recent.cv < 0.12


def test_a_touch_shows_nothing_of_the_pace() -> None:
    pacing = Pacing(1.0)
    for sample in samples([5.0] * 60, POUR.start_s):
        pacing.feed(sample, POUR)
    before_s = pacing.flow.lasted_s
    touched_s = POUR.start_s + 60 * SPACING_S
    for sample in samples([20.0, 0.0] * 10, touched_s):
        pacing.feed(sample, POUR, clear=False)
    for sample in samples([5.0] * 20, touched_s + 1.0):
        pacing.feed(sample, POUR)
    assert pacing.flow.mean_gps == pytest.approx(5.0)
    assert pacing.flow.lasted_s == pytest.approx(before_s + 19 * SPACING_S)
