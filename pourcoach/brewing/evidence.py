"""What is known of a brew when it is to be dialled in, and what of it can be relied on."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot

from pourcoach.brewing.measured import Measured
from pourcoach.brewing.move import Move
from pourcoach.brewing.published_targets import (
    CLASSIC_EXTRACTION_PCT,
    CLASSIC_STRENGTH_PCT,
    NOTICED_STRENGTH_PCT,
)
from pourcoach.brewing.taste import Taste
from pourcoach.brewing.temperature import NO_FAULT_BAND_C
from pourcoach.brewing.water_verdict import Overall
from pourcoach.domain.advice import Flag, FlagKind, RiskLevel
from pourcoach.domain.units import Celsius, Percent, Seconds

# Errors here are one standard error: twice it is taken as sure (95 %).
_SURE = 2.0
# Time off its plan by more than this is fast or slow: the same share as for a slow drain
# (common practice).
_TIME_SHARE = 0.25

# A flag less sure than this does not hold up advice (common practice).
_SURE_FLAG = 0.8

# Faults of the hand that change what the bed gives; a grind judged through one is judged wrong.
POUR_FAULTS = frozenset(
    {
        FlagKind.UNEVEN,
        FlagKind.STALL,
        FlagKind.SURGE,
        FlagKind.OVERSHOOT,
        FlagKind.SHORT,
        FlagKind.BLOOM_LIGHT,
        FlagKind.BLOOM_SHORT,
    }
)


@dataclass(frozen=True, slots=True)
class Evidence:
    """One brew. None and empty are unknown."""

    brew_s: Seconds | None = None
    planned_s: Seconds | None = None
    faults: frozenset[FlagKind] = frozenset()
    """Of the pour; see ``sure_faults``."""
    risk: RiskLevel | None = None
    strength_pct: Measured | None = None
    extraction_pct: Measured | None = None
    aim_strength_pct: Percent = sum(CLASSIC_STRENGTH_PCT) / 2.0
    """The strength that is wanted: the classic box's middle unless told."""
    tastes: frozenset[Taste] = frozenset()
    temperature_c: Celsius | None = None
    water: Overall | None = None
    """How the water stands to its targets."""
    changed: tuple[Move, ...] = ()
    """What was changed against the brew before."""
    worse: bool = False
    """Whether the brewer found it worse than the one before."""
    before: "Evidence | None" = None


def sure_faults(flags: Iterable[Flag]) -> frozenset[FlagKind]:
    """The kinds among the flags that are sure enough to give advice on."""
    return frozenset(flag.kind for flag in flags if flag.confidence >= _SURE_FLAG)


@dataclass(frozen=True, slots=True)
class Signals:
    """What the evidence can carry. False is "no sign of it", never proof of the contrary."""

    pour_faulty: bool
    tasted: bool
    measured: bool
    under: bool
    """Too little taken out of the coffee, by surely low extraction or by a sour taste."""
    over: bool
    """Too much, by surely high extraction or by a bitter taste."""
    contrary: bool
    """Taste and measurement say opposite things."""
    weak: bool
    strong: bool
    sour_and_bitter: bool
    drying: bool
    dull: bool
    """Tastes flat or salty."""
    balanced: bool
    """Tastes balanced, and of nothing that asks for a change."""
    fast: bool
    slow: bool
    cool: bool
    hot: bool
    water_off: bool
    untested_water: bool
    several_changed: bool
    worse: bool
    last: Move | None
    """The one thing changed last; None where none or several were."""


def read_signals(evidence: Evidence) -> Signals:
    """Reduce the evidence to what it can carry.

    A strength counts as weak or strong only where it lies off its aim by more than both its own
    error and 0.24 %, the published threshold of taste (Frost, Ristenpart & Guinard 2019).
    """
    tastes = evidence.tastes
    low, high = _extraction_side(evidence.extraction_pct)
    sour, bitter = Taste.SOUR in tastes, Taste.BITTER in tastes
    weak, strong = _strength_side(evidence)
    fast, slow = _time_side(evidence)
    coolest, hottest = NO_FAULT_BAND_C
    temperature_c = evidence.temperature_c
    return Signals(
        pour_faulty=bool(evidence.faults & POUR_FAULTS) or evidence.risk is RiskLevel.HIGH,
        tasted=bool(tastes),
        measured=evidence.strength_pct is not None or evidence.extraction_pct is not None,
        under=low or (sour and not high),
        over=high or (bitter and not low),
        contrary=(sour and high and not bitter) or (bitter and low and not sour),
        weak=weak or (Taste.THIN in tastes and not strong),
        strong=strong or (Taste.HEAVY in tastes and not weak),
        sour_and_bitter=sour and bitter,
        drying=Taste.DRYING in tastes,
        dull=bool(tastes & {Taste.FLAT, Taste.SALTY}),
        balanced=tastes == {Taste.BALANCED},
        fast=fast,
        slow=slow or FlagKind.SLOW_DRAIN in evidence.faults,
        cool=temperature_c is not None and temperature_c < coolest,
        hot=temperature_c is not None and temperature_c > hottest,
        water_off=evidence.water is Overall.MISSES,
        untested_water=evidence.water is Overall.UNTESTED,
        several_changed=len({move.variable for move in evidence.changed}) > 1,
        worse=evidence.worse or _surely_worse(evidence),
        last=evidence.changed[0] if len(evidence.changed) == 1 else None,
    )


def _extraction_side(extraction: Measured | None) -> tuple[bool, bool]:
    """Surely below and surely above the classic box."""
    if extraction is None:
        return False, False
    least, most = CLASSIC_EXTRACTION_PCT
    room = _SURE * extraction.error
    return extraction.value + room < least, extraction.value - room > most


def _strength_side(evidence: Evidence) -> tuple[bool, bool]:
    """Tastably and surely below and above the aim."""
    strength = evidence.strength_pct
    if strength is None:
        return False, False
    off = strength.value - evidence.aim_strength_pct
    carries = abs(off) >= max(NOTICED_STRENGTH_PCT, _SURE * strength.error)
    return carries and off < 0, carries and off > 0


def _time_side(evidence: Evidence) -> tuple[bool, bool]:
    if evidence.brew_s is None or evidence.planned_s is None:
        return False, False
    share = evidence.brew_s / evidence.planned_s
    return share < 1.0 - _TIME_SHARE, share > 1.0 + _TIME_SHARE


def _surely_worse(evidence: Evidence) -> bool:
    """Extraction moved away from the classic box by more than both errors carry."""
    now = evidence.extraction_pct
    before = None if evidence.before is None else evidence.before.extraction_pct
    if now is None or before is None:
        return False
    moved = _off_box(now.value) - _off_box(before.value)
    return moved > _SURE * hypot(now.error, before.error)


def _off_box(extraction_pct: Percent) -> Percent:
    least, most = CLASSIC_EXTRACTION_PCT
    return max(least - extraction_pct, extraction_pct - most, 0.0)
