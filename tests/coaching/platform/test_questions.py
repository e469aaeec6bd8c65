"""When a lift is asked about while the next pour is due."""

from dataclasses import replace

import pytest

from pourcoach.coaching.platform.arming import Arming
from pourcoach.coaching.platform.doubts import Doubts
from pourcoach.coaching.platform.first_rise import UntaredRise
from pourcoach.coaching.platform.lifts import StandingLift
from pourcoach.coaching.platform.questions import asked
from pourcoach.domain.pour import Phase, Question

LIFT = StandingLift(40.0, 300.0, 80.0)


def asks_of(lift: StandingLift, overdue_s: float, t_s: float = 55.0) -> Question | None:
    question, _ = asked(
        t_s,
        phase=Phase.WAITING,
        plan=None,
        first=None,
        running=False,
        arming=Arming(),
        untared=UntaredRise(None),
        lift=lift,
        doubts=Doubts(),
        overdue_s=overdue_s,
    )
    return question


@pytest.mark.parametrize(
    ("overdue_s", "question"),
    [(0.0, Question.LIFTED), (0.5, None), (7.0, None), (9.0, Question.LIFTED)],
)
def test_when_the_pour_has_come_due_the_lift_waits(
    overdue_s: float, question: Question | None
) -> None:
    assert asks_of(LIFT, overdue_s) is question


@pytest.mark.parametrize(("stood_s", "question"), [(8.0, None), (12.0, Question.LIFTED)])
def test_who_swirls_the_bed_is_not_asked(stood_s: float, question: Question | None) -> None:
    assert asks_of(replace(LIFT, since_s=55.0 - stood_s), 0.0) is question
