"""After the brew: the one thing to fix, and the channeling risk with what to look for."""

from collections import defaultdict
from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from pourcoach.coaching.flags.risk import BedAgreement, BedLook, bed_agreement
from pourcoach.domain.advice import Flag, FlagKind, Risk, RiskLevel
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan
from pourcoach.wording.flags import RECORDS, flag_title, flag_words

_LOOK_FOR = (
    "Look at the bed: a level bed with an even film of fines suggests an even draw; a hole, a dry"
    " patch or one side standing high suggests that water took a path of its own."
)
_NO_PROOF = "The scale sees what is poured, not where it goes: this suggests, it does not prove."


MADE_GOOD = 0.5
"""Times its gravity, what a stage left short weighs once later ones have brought its water."""


class Fix(NamedTuple):
    """One thing to work on."""

    headline: str
    """A few capitals, fit for block letters."""
    evidence: str
    """One sentence."""
    advice: str
    """One sentence."""
    reason: str
    """Why this and nothing else: what it does to the cup, and what was noted beside it."""


def one_thing_to_fix(frame: Frame, plan: Plan | None = None) -> Fix | None:
    """What would help most next time; None where no fault of the hand was found.

    A fault made again and again weighs more than one made once. ``plan`` is the one that the brew
    began with: a stage left short in a brew that got all its water is no matter of pouring it all.
    """
    by_kind: defaultdict[FlagKind, list[Flag]] = defaultdict(list)
    for flag in frame.flags:
        if RECORDS[flag.kind].gravity > 0.0:
            by_kind[flag.kind].append(flag)
    if not by_kind:
        return None
    off_g = 0.0 if plan is None else frame.pour.water_g - plan.water_g

    def weight(kind: FlagKind) -> float:
        gravity = RECORDS[kind].gravity
        if kind is FlagKind.SHORT and off_g > 0.0:
            gravity *= MADE_GOOD
        return gravity * sqrt(sum(flag.confidence for flag in by_kind[kind]))

    kind = max(by_kind, key=weight)
    worst = max(by_kind[kind], key=lambda flag: flag.confidence)
    words = flag_words(worst)
    evidence = words.measured
    if len(by_kind[kind]) > 1:
        evidence = f"{evidence} ({len(by_kind[kind])} times in this brew.)"
    headline = RECORDS[kind].headline
    if kind is FlagKind.SHORT and plan is not None and not plan.is_cut_short(frame.pour.water_g):
        headline = "TO EACH MARK"
    others = sorted(by_kind.keys() - {kind}, key=weight, reverse=True)
    return Fix(headline, evidence, words.try_this, _reason(words.suggests, others))


def _reason(suggests: str, others: Sequence[FlagKind]) -> str:
    if not others:
        return suggests
    titles = [flag_title(other).lower() for other in others]
    listed = " and ".join([", ".join(titles[:-1]), titles[-1]] if titles[1:] else titles)
    return f"{suggests} That usually moves the cup more than what else was noted: {listed}."


def risk_sentences(risk: Risk) -> list[str]:
    """The channeling risk, its reasons, and what to look for in the bed."""
    if risk.level is RiskLevel.LOW:
        return ["Channeling risk from the pour: low. Nothing in the flow suggests it.", _NO_PROOF]
    return [
        f"Channeling risk from the pour: {risk.level.value}.",
        *_reasons(risk),
        _LOOK_FOR,
        _NO_PROOF,
    ]


def _reasons(risk: Risk) -> list[str]:
    """One sentence a kind: the gravest with its figures, the others by their stages."""
    by_kind: defaultdict[FlagKind, list[Flag]] = defaultdict(list)
    for flag in risk.reasons:
        by_kind[flag.kind].append(flag)
    sentences: list[str] = []
    for kind, flags in by_kind.items():
        others = dict.fromkeys(flag.stage for flag in flags[1:] if flag.stage is not None)
        also = f" Also in {', '.join(others)}." if others else ""
        sentences.append(f"{flag_title(kind)}: {flag_words(flags[0]).measured}{also}")
    return sentences


def bed_sentence(risk: Risk, look: BedLook) -> str:
    """What the brewer saw in the bed, set beside the risk from the pour."""
    said = f"The bed: {look.value}; risk from the pour: {risk.level.value}."
    match bed_agreement(risk, look):
        case BedAgreement.BOTH_CALM:
            return f"{said} Both suggest an even draw."
        case BedAgreement.BOTH_SUGGEST:
            return f"{said} Both suggest that water took a path of its own."
        case BedAgreement.POUR_ONLY:
            return f"{said} The bed took the uneven pour well, or hides it: taste decides."
        case BedAgreement.BED_ONLY:
            return (
                f"{said} The flow was even, so look to where it was poured, the grind and the"
                " levelling of the bed."
            )
