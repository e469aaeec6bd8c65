"""Reading a rubric, and saying where it is wrong."""

import math

import pytest

from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC, Criterion, Measure, read_rubric
from pourcoach.domain.errors import UsageError


def test_the_default_reads() -> None:
    rubric = read_rubric(DEFAULT_RUBRIC)
    assert rubric.name == "pouring to plan"
    assert len(rubric.criteria) == 9
    assert rubric.criteria[4] == Criterion("Even flow", Measure.FLOW_CV, -math.inf, 0.20, 2.0)


def test_a_trainer_may_set_limits() -> None:
    rubric = read_rubric('[limits]\nuneven_cv = 0.15\n[[criterion]]\nmeasure = "stalls"\nmost = 0')
    assert rubric.limits is not None
    assert rubric.limits.uneven_cv == 0.15
    assert rubric.criteria[0].title == "stalls"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("criterion = [", "not TOML"),
        ('name = "x"', "criterion is missing"),
        ("[[criterion]]\nmeasure = 'stalls'\nmost = 0\n[colour]", "line 4: colour is not known"),
        ("criterion = [1]", r"criterion\[1\] is 1; make it a table"),
        ('[[criterion]]\nmeasure = "beauty"\nmost = 1', "'beauty'"),
        ('[[criterion]]\nmeasure = "stalls"', "not be missed"),
        (
            '[[criterion]]\nmeasure = "stalls"\nleast = 2\nmost = 1',
            r"line 3: .*least is above most",
        ),
        ('[[criterion]]\nmeasure = "stalls"\nmost = "few"', "'few'"),
        ('[[criterion]]\nmeasure = "stalls"\nmost = 0\nweight = 0', "weight is 0"),
        ('[[criterion]]\nmeasure = "stalls"\nmost = 0\ncolour = 1', "colour is not known here"),
        ('limits = 3\n[[criterion]]\nmeasure = "stalls"\nmost = 0', "limits"),
    ],
)
def test_what_is_wrong_is_said(text: str, said: str) -> None:
    with pytest.raises(UsageError, match=said):
        read_rubric(text)


def test_a_rubric_has_a_hundred_criteria_at_most() -> None:
    criterion = '[[criterion]]\nmeasure = "stalls"\nmost = 0\n'
    assert len(read_rubric(100 * criterion).criteria) == 100
    with pytest.raises(UsageError, match="1 to 100 of them"):
        read_rubric(101 * criterion)
