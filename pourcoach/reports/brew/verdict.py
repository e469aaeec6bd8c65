"""The one thing that a review leads with."""

from dataclasses import dataclass
from enum import Enum

from pourcoach.coaching.marking.marking import CriterionMark, Marks
from pourcoach.domain.advice import RiskLevel
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.reports.brew.marks_table import bounds_text, mark_text
from pourcoach.reports.brew.noted import NOT_THE_HAND
from pourcoach.wording import one_thing_to_fix, risk_sentences


class VerdictKind(Enum):
    """What kind of answer a verdict is."""

    FAULT = "fault"
    NO_FAULT = "no fault"
    TOO_LITTLE = "too little"
    """Not enough was poured to be judged as a brew."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """A headline of a few capitals, and a sentence each of evidence and advice."""

    found: VerdictKind
    headline: str
    evidence: str
    advice: str
    reason: str = ""
    """Why this leads; empty where no fault that was noted does."""


def verdict(
    frame: Frame,
    plan: Plan | None,
    marks: Marks | None,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
) -> Verdict:
    """The thing to fix; where there is none, what else is true: a mark missed, no fault, or nothing
    to judge.

    ``frame`` is the last of a brew, ``plan`` the one it began with, ``marks`` what it got,
    None where it was not marked.
    """
    if frame.pour.brew_start_s is None:
        return Verdict(
            VerdictKind.TOO_LITTLE,
            "NO WATER",
            "No pour was found: the weight never rose as it does under a kettle.",
            "Check that the brewer stands on the scale and that the scale is the right one.",
        )
    fix = one_thing_to_fix(frame, plan)
    if fix is not None:
        return Verdict(VerdictKind.FAULT, fix.headline, fix.evidence, fix.advice, fix.reason)
    if arrangement is Arrangement.SERVER_ON_SCALE:
        return Verdict(
            VerdictKind.NO_FAULT,
            "NO FAULT",
            "The drip showed nothing outside its limits; the pours themselves were not weighed.",
            "To have the pours judged, put brewer and server on the scale together.",
        )
    water_g = frame.pour.water_g
    if plan is not None and plan.is_cut_short(water_g):
        return Verdict(
            VerdictKind.TOO_LITTLE,
            "CUT SHORT",
            f"The brew ended at {water_g:.0f} g of {plan.water_g:.0f} g.",
            "Nothing was outside its limits up to there.",
        )
    all_marks = () if marks is None else marks.marks
    missed = [mark for mark in all_marks if mark.met is False and mark.value is not None]
    if missed:
        return _missed(missed)
    return Verdict(
        VerdictKind.NO_FAULT,
        "NO FAULT",
        _judged(frame, plan),
        "Taste decides: keep it so, or change one thing.",
    )


def risk_or_why_not(frame: Frame, arrangement: Arrangement) -> list[str]:
    """The channeling risk in sentences, or why none is judged."""
    why = _risk_unseen(frame, arrangement)
    if why is not None:
        return [f"Channeling risk from the pour: not judged, since {why}."]
    return risk_sentences(frame.risk)


def judged_risk(frame: Frame, arrangement: Arrangement) -> RiskLevel | None:
    """None where too little was seen: what was not seen is neither low nor high."""
    return None if _risk_unseen(frame, arrangement) is not None else frame.risk.level


def _risk_unseen(frame: Frame, arrangement: Arrangement) -> str | None:
    pour = frame.pour
    if pour.brew_start_s is None:
        return "no water was poured"
    if arrangement is Arrangement.SERVER_ON_SCALE:
        return "the pours were not weighed"
    planned = 1 if pour.plan is None else len(pour.plan.stages)
    if len(pour.stages) <= 1 < planned and frame.risk.level is RiskLevel.LOW:
        return "the brew ended before its second pour"
    return None


def _missed(missed: list[CriterionMark]) -> Verdict:
    """Marks missed by less than what is noted."""
    worst = max(missed, key=lambda mark: mark.criterion.weight)
    criterion = worst.criterion
    assert worst.value is not None
    where = "" if worst.stage is None else f" ({worst.stage})"
    figure = mark_text(worst.value, criterion.measure)
    more = "" if len(missed) == 1 else f" {len(missed)} marks were missed."
    return Verdict(
        VerdictKind.FAULT,
        "NEAR MISS",
        f"No fault of the pouring was large enough to be noted, but a mark was missed:"
        f" {criterion.title}{where}, {figure} ({bounds_text(criterion)}).{more}",
        "Look at the marks for which ones, and mend the one that matters most to you.",
    )


def _judged(frame: Frame, plan: Plan | None) -> str:
    """What finding no fault is worth."""
    if plan is None:
        return "There is no plan to judge by; nothing in the flow itself was outside its limits."
    if any(flag.kind in NOT_THE_HAND for flag in frame.flags):
        return (
            "Nothing that could be judged was outside its limits; the scale was disturbed or"
            " silent for a part."
        )
    return "Everything that a scale can see was within the plan's limits."
