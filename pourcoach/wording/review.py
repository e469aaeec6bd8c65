"""After the brew: the one thing to fix, and the channeling risk with what to look for."""

from collections import defaultdict
from collections.abc import Mapping
from math import sqrt
from typing import NamedTuple

from pourcoach.coaching.risk import Agreement, BedLook, agreement
from pourcoach.domain.advice import Flag, FlagKind, Risk, RiskLevel
from pourcoach.domain.frame import Frame
from pourcoach.wording.flags import flag_title, flag_words

# What helps the cup most is told first: whether all of the bed gives its share, then whether the
# water comes out right, then when. Common practice; no published source.
_GRAVITY: Mapping[FlagKind, float] = {
    FlagKind.STALL: 5.0,
    FlagKind.SURGE: 4.5,
    FlagKind.UNEVEN: 4.5,
    FlagKind.OVERSHOOT: 4.0,
    FlagKind.SHORT: 4.0,
    FlagKind.BLOOM_LIGHT: 4.0,
    FlagKind.BLOOM_SHORT: 3.5,
    FlagKind.SLOW_DRAIN: 3.0,
    FlagKind.BLOOM_HEAVY: 2.5,
    FlagKind.LATE: 2.0,
    FlagKind.EARLY: 2.0,
    FlagKind.BLOOM_LONG: 1.5,
}
_HEADLINES: Mapping[FlagKind, str] = {
    FlagKind.STALL: "KEEP POURING",
    FlagKind.SURGE: "NO GUSHES",
    FlagKind.UNEVEN: "STEADIER",
    FlagKind.OVERSHOOT: "STOP SOONER",
    FlagKind.SHORT: "POUR IT ALL",
    FlagKind.BLOOM_LIGHT: "MORE BLOOM",
    FlagKind.BLOOM_SHORT: "LET IT BLOOM",
    FlagKind.SLOW_DRAIN: "COARSER",
    FlagKind.BLOOM_HEAVY: "LESS BLOOM",
    FlagKind.LATE: "BE ON TIME",
    FlagKind.EARLY: "WAIT FOR IT",
    FlagKind.BLOOM_LONG: "BE ON TIME",
}

_LOOK_FOR = (
    "Look at the bed: a level bed with an even film of fines suggests an even draw; a hole, a dry"
    " patch or one side standing high suggests that water took a path of its own."
)
_NO_PROOF = "The scale sees what is poured, not where it goes: this suggests, it does not prove."


class Fix(NamedTuple):
    """One thing to work on."""

    headline: str
    """A few capitals, fit for block letters."""
    evidence: str
    """One sentence."""
    advice: str
    """One sentence."""


def one_thing_to_fix(frame: Frame) -> Fix | None:
    """What would help most next time; None where no fault of the hand was found.

    A fault made again and again weighs more than one made once.
    """
    by_kind: defaultdict[FlagKind, list[Flag]] = defaultdict(list)
    for flag in frame.flags:
        if flag.kind in _GRAVITY:
            by_kind[flag.kind].append(flag)
    if not by_kind:
        return None

    def weight(kind: FlagKind) -> float:
        return _GRAVITY[kind] * sqrt(sum(flag.confidence for flag in by_kind[kind]))

    kind = max(by_kind, key=weight)
    worst = max(by_kind[kind], key=lambda flag: flag.confidence)
    words = flag_words(worst)
    evidence = words.measured
    if len(by_kind[kind]) > 1:
        evidence = f"{evidence} ({len(by_kind[kind])} times in this brew.)"
    return Fix(_HEADLINES[kind], evidence, words.try_this)


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
    match agreement(risk, look):
        case Agreement.BOTH_CALM:
            return f"{said} Both suggest an even draw."
        case Agreement.BOTH_SUGGEST:
            return f"{said} Both suggest that water took a path of its own."
        case Agreement.POUR_ONLY:
            return f"{said} The bed took the uneven pour well, or hides it: taste decides."
        case Agreement.BED_ONLY:
            return (
                f"{said} The flow was even, so look to where it was poured, the grind and the"
                " levelling of the bed."
            )
