"""How far a brew's pour suggests channeling. It never proves it: a scale cannot see the bed."""

from collections.abc import Iterable, Sequence
from enum import Enum

from pourcoach.domain.advice import Flag, FlagKind, Risk, RiskLevel
from pourcoach.domain.afterwards import Afterword, Remark, RemarkKind

REASONS = (FlagKind.UNEVEN, FlagKind.STALL, FlagKind.SURGE)
SURE = 0.5
"""Flags less sure than this are no reason for a risk."""
HIGH = 2.5
"""Sum of the confidences of all reasons from which the risk is high: three sure flags, or two with
one of them severe. Common practice, no published source."""
SEVERE = 1.5
"""A flag at twice its limit or more counts this many times."""
SEVERE_S = 3.0
"""A stall or a surge this long is severe: common practice."""

LOW = Risk(RiskLevel.LOW, ())


class BedLook(Enum):
    """What the bed looked like after the brew, as the brewer saw it."""

    FLAT = "flat"
    CRATER = "crater"
    ONE_SIDE_HIGH = "one side high"
    DRY_PATCH = "dry patch"
    HOLE = "hole"

    @property
    def suggests_channels(self) -> bool:
        """Whether such a bed suggests that water took paths of its own (common practice)."""
        return self in (BedLook.ONE_SIDE_HIGH, BedLook.DRY_PATCH, BedLook.HOLE)


class BedAgreement(Enum):
    """How the risk from the pour and the look of the bed go together."""

    BOTH_CALM = "both calm"
    BOTH_SUGGEST = "both suggest"
    POUR_ONLY = "pour only"
    BED_ONLY = "bed only"


def risk_of(flags: Sequence[Flag]) -> Risk:
    """Return the channeling risk with its reasons, the gravest first."""
    reasons = [flag for flag in flags if flag.kind in REASONS and flag.confidence >= SURE]
    if not reasons:
        return LOW
    reasons.sort(key=lambda flag: (-_weight(flag), flag.start_s))
    total = sum(_weight(flag) for flag in reasons)
    level = RiskLevel.HIGH if total >= HIGH else RiskLevel.RAISED
    return Risk(level, tuple(reasons))


def bed_agreement(risk: Risk, look: BedLook) -> BedAgreement:
    """Compare what the brewer saw with what the pour suggests."""
    pour = risk.level is not RiskLevel.LOW
    if pour and look.suggests_channels:
        return BedAgreement.BOTH_SUGGEST
    if pour:
        return BedAgreement.POUR_ONLY
    return BedAgreement.BED_ONLY if look.suggests_channels else BedAgreement.BOTH_CALM


def _weight(flag: Flag) -> float:
    evidence = flag.evidence
    severe = (
        flag.kind is FlagKind.UNEVEN and evidence["flow_cv"] >= 2.0 * evidence["allowed_cv"]
    ) or (flag.kind is not FlagKind.UNEVEN and evidence["lasted_s"] >= SEVERE_S)
    return flag.confidence * (SEVERE if severe else 1.0)


def bed_look(said: Iterable[Afterword]) -> BedLook | None:
    """Return how the bed looked by the last remark about it; None if there is none, or its word is
    unknown."""
    known = {look.value: look for look in BedLook}
    looks = [
        known.get(word.text)
        for word in said
        if isinstance(word, Remark) and word.kind is RemarkKind.BED
    ]
    return looks[-1] if looks else None
