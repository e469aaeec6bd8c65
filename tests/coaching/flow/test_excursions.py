"""Stretches in which the flow was far from its usual flow, with holes that a touch left."""

import pytest

from pourcoach.coaching.flow.excursions import excursions
from pourcoach.coaching.flow.trace import Sample

USUAL_GPS, LIMIT_GPS = 4.7, 7.9


def flow(*stretches: tuple[float, float, float], per_s: float = 20.0) -> list[Sample]:
    """Samples so many a second: from, to, g/s."""
    return [
        Sample(round(from_s + place / per_s, 2), flow_gps, 0.3)
        for from_s, to_s, flow_gps in stretches
        for place in range(round((to_s - from_s) * per_s))
    ]


def test_a_surge_with_a_knock_in_it_is_one_though_the_scale_swings_after_it() -> None:
    """The first flow after the hole is the knock's: the surge was two, each of them too short."""
    samples = flow(
        (65.0, 67.3, 4.5), (67.3, 67.95, 10.7), (68.35, 68.45, 3.6), (68.45, 69.0, 10.5),
        (69.0, 72.0, 4.5),
    )  # fmt: skip
    found = list(excursions(samples, USUAL_GPS, LIMIT_GPS))
    assert [(one.start_s, one.end_s) for one in found] == [(67.3, 68.95)]


def test_water_that_runs_as_usual_after_a_hole_parts_two_surges() -> None:
    samples = flow(
        (65.0, 67.3, 4.5), (67.3, 67.95, 10.7), (68.35, 68.75, 4.5), (68.75, 69.3, 10.5),
        (69.3, 72.0, 4.5),
    )  # fmt: skip
    assert len(list(excursions(samples, USUAL_GPS, LIMIT_GPS))) == 2


def test_flow_that_a_knock_pulls_down_before_the_hole_does_not_part_a_surge() -> None:
    """Of a slow scale: the smoother smears the knock backwards, over one value before the hole."""
    samples = flow(
        (65.0, 67.3, 4.5), (67.3, 67.7, 9.0), (67.7, 67.8, 6.9), (68.2, 68.8, 9.5),
        (68.8, 72.0, 4.5), per_s=10.0,
    )  # fmt: skip
    found = list(excursions(samples, USUAL_GPS, LIMIT_GPS))
    assert [(one.start_s, one.end_s) for one in found] == [(67.3, 68.7)]


def test_water_that_runs_as_usual_before_a_hole_parts_two_surges() -> None:
    samples = flow(
        (65.0, 67.3, 4.5), (67.3, 67.7, 9.0), (67.7, 68.0, 4.5), (68.4, 69.0, 9.5),
        (69.0, 72.0, 4.5), per_s=10.0,
    )  # fmt: skip
    assert len(list(excursions(samples, USUAL_GPS, LIMIT_GPS))) == 2


@pytest.mark.parametrize(
    ("between_gps", "error_gps", "found"),
    [(1.0, 0.3, 1), (1.0, 0.15, 2), (1.6, 2.0, 2), (1.45, 2.0, 1)],
    ids=["unsure", "sure", "half way back", "not half way back"],
)
def test_what_by_its_error_may_be_below_the_limit_does_not_part_a_stall(
    between_gps: float, error_gps: float, found: int
) -> None:
    """A slow scale: 0.6 s between two dips, of 2.5 g/s, with a limit of 0.6."""
    samples = flow(
        (0.0, 3.0, 2.5), (3.0, 3.6, 0.0), (3.6, 4.2, between_gps), (4.2, 4.8, 0.0), (4.8, 8.0, 2.5),
        per_s=5.0,
    )  # fmt: skip
    samples = [sample._replace(error_gps=error_gps) for sample in samples]
    assert len(list(excursions(samples, 2.5, 0.6))) == found


def test_two_short_dips_are_no_stall_where_their_mean_is_above_the_limit() -> None:
    samples = flow(
        (0.0, 3.0, 2.5), (3.0, 3.2, 0.5), (3.2, 4.2, 1.0), (4.2, 4.4, 0.5), (4.4, 8.0, 2.5),
        per_s=5.0,
    )  # fmt: skip
    assert len(list(excursions(samples, 2.5, 0.6))) == 2
