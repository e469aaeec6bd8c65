"""Stretches in which the flow was far from its usual flow, with holes that a touch left."""

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
