"""Marks of a brew by a rubric: which criteria are met, each with its figure."""

from dataclasses import dataclass
from typing import Any

from pourcoach.coaching.flags.confidence import LIKELY, probability_above
from pourcoach.coaching.marking.measures import MEASURES, MarkedBrew
from pourcoach.coaching.marking.rubric import Criterion, Rubric
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Replan

SLACK = 1e-9
"""A figure on its bound meets it whatever the last bit says."""
FIGURES = 4
"""Decimals given in JSON: finer than a scale can resolve."""


@dataclass(frozen=True, slots=True)
class CriterionMark:
    """The mark of one criterion, for one stage if it has one."""

    criterion: Criterion
    stage: str | None
    value: float | None
    """In the measure's unit; None where it could not be judged."""
    seen: bool = True
    """False if the brew ended before it; then it is not met."""
    replan: Replan | None = None
    """The change of the plan that the figure allows for; None where it is measured against the
    original plan."""
    error: float = 0.0
    """Standard error of the value; 0 where it is negligible."""

    @property
    def met(self) -> bool | None:
        """None where it could not be judged by its nature (too short, or hidden from a scale), and
        where the value lies beyond a bound by too little for its error."""
        if self.value is None:
            return None if self.seen else False
        beyond = max(self.criterion.least - self.value, self.value - self.criterion.most)
        if beyond <= SLACK:
            return True
        return None if probability_above(beyond, 0.0, self.error) < LIKELY else False

    @property
    def unsure(self) -> bool:
        """Whether the value lies beyond a bound, by too little for its error."""
        return self.value is not None and self.met is None


@dataclass(frozen=True, slots=True)
class Marks:
    """All marks of one brew, with their figures and without an overall score."""

    rubric: str
    marks: tuple[CriterionMark, ...]

    @property
    def judged(self) -> int:
        """Number of marks met or not met, including those the brew ended before."""
        return sum(mark.met is not None for mark in self.marks)

    @property
    def met(self) -> int:
        """Number of marks met."""
        return sum(mark.met is True for mark in self.marks)

    @property
    def unseen(self) -> int:
        """Number of marks the brew ended before."""
        return sum(not mark.seen for mark in self.marks)

    @property
    def met_share(self) -> float | None:
        """Weight of the marks met over that of the marks judged; None if none was judged."""
        judged = sum(mark.criterion.weight for mark in self.marks if mark.met is not None)
        met = sum(mark.criterion.weight for mark in self.marks if mark.met)
        return met / judged if judged else None

    def as_dict(self) -> dict[str, Any]:
        """Return the marks as a JSON object."""
        return {
            "rubric": self.rubric,
            "met": self.met,
            "judged": self.judged,
            "not_seen": self.unseen,
            "met_share": None if self.met_share is None else round(self.met_share, FIGURES),
            "criteria": [
                {
                    "title": mark.criterion.title,
                    "measure": mark.criterion.measure.value,
                    "least": mark.criterion.least,
                    "most": mark.criterion.most,
                    "stage": mark.stage,
                    "value": None if mark.value is None else round(mark.value, FIGURES),
                    "met": mark.met,
                    "seen": mark.seen,
                    "error": round(mark.error, FIGURES),
                    "replanned": mark.replan is not None,
                    "weight": mark.criterion.weight,
                }
                for mark in self.marks
            ],
        }


def mark(
    frame: Frame,
    plan: Plan | None,
    rubric: Rubric,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
) -> Marks:
    """Mark a finished brew, given its last Frame, against the original plan.

    A brew that followed a change of the plan is marked by that, as its flags are, and the mark says
    so. What was too short to judge or cannot be seen by a scale is not judged; what the brew ended
    before is not met. A brew without water has no marks. With ``arrangement`` server-on-scale a
    rest is the end of the drip, so the time is known.
    """
    if frame.pour.brew_start_s is None:
        return Marks(rubric.name, ())
    brew = MarkedBrew(frame, plan, arrangement)
    marks = [
        CriterionMark(criterion, *brew.by_nature(figure))
        for criterion in rubric.criteria
        for figure in MEASURES[criterion.measure](brew)
    ]
    return Marks(rubric.name, tuple(marks))
