"""The one thing that a review leads with."""

from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.advice import Risk
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.reports.noted import NOT_THE_HAND
from pourcoach.wording import one_thing_to_fix, risk_sentences


class Found(Enum):
    """What kind of answer a verdict is."""

    FAULT = "fault"
    NO_FAULT = "no fault"
    TOO_LITTLE = "too little"
    """Not enough was poured to be judged as a brew."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """A headline of a few capitals, and a sentence each of evidence and advice."""

    found: Found
    headline: str
    evidence: str
    advice: str


def verdict(
    frame: Frame, plan: Plan | None, arrangement: Arrangement = Arrangement.BREWER_ON_SCALE
) -> Verdict:
    """The thing to fix; where there is none, what else is true: no fault, or nothing to judge.

    ``frame`` is the last of a brew, ``plan`` the one it began with.
    """
    if frame.pour.brew_start_s is None:
        return Verdict(
            Found.TOO_LITTLE,
            "NO WATER",
            "No pour was found: the weight never rose as it does under a kettle.",
            "Check that the brewer stands on the scale and that the scale is the right one.",
        )
    fix = one_thing_to_fix(frame)
    if fix is not None:
        return Verdict(Found.FAULT, fix.headline, fix.evidence, fix.advice)
    if arrangement is Arrangement.SERVER_ON_SCALE:
        return Verdict(
            Found.NO_FAULT,
            "NO FAULT",
            "The drip showed nothing outside its limits; the pours themselves were not weighed.",
            "To have the pours judged, put brewer and server on the scale together.",
        )
    water_g = frame.pour.water_g
    if plan is not None and plan.is_cut_short(water_g):
        return Verdict(
            Found.TOO_LITTLE,
            "CUT SHORT",
            f"The brew ended at {water_g:.0f} g of {plan.water_g:.0f} g.",
            "Nothing was outside its limits up to there.",
        )
    return Verdict(
        Found.NO_FAULT,
        "NO FAULT",
        _judged(frame, plan),
        "Taste decides: keep it so, or change one thing.",
    )


def risk_told(risk: Risk, arrangement: Arrangement) -> list[str]:
    """The channeling risk in sentences; with the server on the scale there is none to tell."""
    if arrangement is Arrangement.SERVER_ON_SCALE:
        return ["Channeling risk from the pour: not judged, since the pours were not weighed."]
    return risk_sentences(risk)


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
