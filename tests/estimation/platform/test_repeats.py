"""A reading sent again in mid-pour goes; equal readings that are honest stay."""

import pytest

from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.platform.repeats import RepeatWatch, Weighed


def sifted(weights, flow_gps, step_g=0.1) -> list[float]:
    traits = TraitsLearner()
    traits.see(0.0)
    traits.see(step_g)
    watch = RepeatWatch(traits)
    out = []
    for index, g in enumerate(weights):
        weighed = Weighed(0.1 * index, 100 * index, g)
        out += [weighed] if watch.is_new(g) else watch.sift(weighed, flow_gps, 0.1)
    return [w.grams for w in out]


@pytest.mark.parametrize(
    ("weights", "flow_gps", "expected"),
    [
        ([1.0, 1.5, 1.5, 2.5, 3.0], 5.0, [1.0, 1.5, 2.5, 3.0]),
        ([1.0, 1.5, 1.5, 1.5, 1.6], 5.0, [1.0, 1.5, 1.5, 1.5, 1.6]),
        ([1.0, 1.5, 1.5, 1.9], 5.0, [1.0, 1.5, 1.9]),
        ([1.0, 1.5, 1.5, 1.8], 5.0, [1.0, 1.5, 1.5, 1.8]),
        ([1.0, 1.0, 1.1, 1.1], 0.5, [1.0, 1.0, 1.1, 1.1]),
    ],
    ids=["a repeat", "the water stopped", "nearly caught up", "hardly", "a trickle"],
)
def test_repeats_are_judged_by_what_follows(weights, flow_gps, expected):
    assert sifted(weights, flow_gps) == expected


def test_on_coarse_steps_equal_readings_are_no_accident():
    assert sifted([1.0, 1.5, 1.5, 2.5], 5.0, step_g=0.5) == [1.0, 1.5, 1.5, 2.5]


@pytest.mark.parametrize(("flow_gps", "repeats"), [(1.3, False), (1.8, True)])
def test_a_trickle_may_honestly_read_the_same_twice(flow_gps, repeats):
    kept = sifted([1.0, 1.2, 1.2, 1.5], flow_gps, step_g=0.01)
    assert (kept == [1.0, 1.2, 1.5]) is repeats


@pytest.mark.parametrize(("flow_gps", "repeats"), [(1.8, False), (2.2, True)])
def test_a_step_is_fine_where_less_than_half_of_what_two_readings_differ_by(flow_gps, repeats):
    kept = sifted([1.0, 1.2, 1.2, 1.6], flow_gps)
    assert (kept == [1.0, 1.2, 1.6]) is repeats
