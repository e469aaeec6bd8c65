"""What a figure earns, and how eye and scale agree."""

import math

import pytest

from pourcoach.practice.judging.grades import GRADES, Graded, eye_and_scale, grade_of


@pytest.mark.parametrize(
    ("value", "least", "most", "grade"),
    [
        (10.0, 8.0, 12.0, "met"),
        (12.0, 8.0, 12.0, "met"),
        (13.9, 8.0, 12.0, "a little off"),
        (6.1, 8.0, 12.0, "a little off"),
        (14.1, 8.0, 12.0, "far off"),
        (0.29, -math.inf, 0.2, "a little off"),
        (0.31, -math.inf, 0.2, "far off"),
        (None, 8.0, 12.0, "far off"),
    ],
)
def test_a_figure_earns_its_grade_by_how_far_it_lies_outside(
    value: float | None, least: float, most: float, grade: str
) -> None:
    assert GRADES[grade_of(value, least, most)] == grade


def test_agreement_is_over_all_grades() -> None:
    pairs = [(0, 0), (1, 1), (2, 2), (2, 1), (1, 2), (0, 0)]
    found = eye_and_scale([Graded("x", None, eye, scale) for eye, scale in pairs])
    assert found is not None
    assert 0.5 < found.kappa < 1.0
    assert eye_and_scale([]) is None
