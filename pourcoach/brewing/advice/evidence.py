"""What is known of a brew when it is to be dialled in, and what of it can be relied on."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import hypot

from pourcoach.brewing.advice.move import HALF, ONE, TWO, Change, Variable, move_along
from pourcoach.brewing.advice.taste import Taste
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.published_targets import (
    CLASSIC_EXTRACTION_PCT,
    CLASSIC_STRENGTH_PCT,
    NOTICED_STRENGTH_PCT,
    off_classic_extraction,
)
from pourcoach.brewing.temperature.bands import NO_FAULT_BAND_C
from pourcoach.brewing.water.water_verdict import Overall
from pourcoach.domain.advice import Flag, FlagKind, RiskLevel
from pourcoach.domain.units import Celsius, Percent, Seconds

# Errors here are one standard error: twice it is taken as sure (95 %).
_SURE = 2.0
# Time off its plan by more than this is fast or slow: the same share as for a slow drain
# (common practice).
_TIME_SHARE = 0.25

# Water that explains no fault of the cup.
_GOOD_WATER = (Overall.MEETS, Overall.NEAR)

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
    """The strength that is wanted: the classic box's middle unless given."""
    tastes: frozenset[Taste] = frozenset()
    temperature_c: Celsius | None = None
    water: Overall | None = None
    """How the water stands to its targets."""
    changed: tuple[Change, ...] | None = None
    """What was changed against the brew before; None where that is not known."""
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
    extraction_known: bool
    """By a measurement: a taste of sour or bitter only suggests it."""
    under: bool
    """Too little taken out of the coffee: surely low extraction, a sour taste, or a salty one that
    the water does not explain."""
    over: bool
    """Too much, by surely high extraction or by a bitter taste."""
    contrary: bool
    """Taste and measurement say opposite things."""
    weak: bool
    strong: bool
    uneven: bool
    """Tastes of both ends at once: sour and bitter, or sour and drying."""
    drying: bool
    dull: bool
    """Tastes flat, or salty where that is no under-extraction."""
    balanced: bool
    """Tastes balanced, and of nothing that asks for a change."""
    fast: bool
    slow: bool
    cool: bool
    hot: bool
    water_off: bool
    water_known: bool
    untested_water: bool
    several_changed: bool
    """Against the brew before and against every earlier one that is known."""
    worse: bool
    said_worse: bool
    """By the brewer, not by figures."""
    was_balanced: bool
    """The brew before was."""
    last: Change | None
    """The one thing changed last; None where none or several were."""


def read_signals(evidence: Evidence) -> Signals:
    """Reduce the evidence to what it can carry.

    A strength counts as weak or strong only where it lies off its aim by more than both its own
    error and 0.24 %, the estimated threshold of taste (Frost, Ristenpart & Guinard 2019).
    """
    tastes, water = evidence.tastes, evidence.water
    low, high = _extraction_side(evidence.extraction_pct)
    sour, bitter = Taste.SOUR in tastes, Taste.BITTER in tastes
    salty = Taste.SALTY in tastes and not (high or bitter)
    under = low or (sour and not high) or (salty and water in _GOOD_WATER)
    weak, strong = _strength_side(evidence)
    fast, slow = _time_side(evidence)
    coolest, hottest = NO_FAULT_BAND_C
    temperature_c = evidence.temperature_c
    last = _last(evidence)
    before = evidence.before
    return Signals(
        pour_faulty=bool(evidence.faults & POUR_FAULTS) or evidence.risk is RiskLevel.HIGH,
        tasted=bool(tastes),
        measured=evidence.strength_pct is not None or evidence.extraction_pct is not None,
        extraction_known=evidence.extraction_pct is not None,
        under=under,
        over=high or (bitter and not low),
        contrary=(sour and high and not bitter) or (bitter and low and not sour),
        weak=weak or (Taste.THIN in tastes and not strong),
        strong=strong or (Taste.HEAVY in tastes and not weak),
        uneven=sour and (bitter or Taste.DRYING in tastes),
        drying=Taste.DRYING in tastes,
        dull=Taste.FLAT in tastes or (Taste.SALTY in tastes and not under),
        balanced=tastes == {Taste.BALANCED},
        fast=fast,
        slow=slow or FlagKind.SLOW_DRAIN in evidence.faults,
        cool=temperature_c is not None and temperature_c < coolest,
        hot=temperature_c is not None and temperature_c > hottest,
        water_off=water is Overall.MISSES,
        water_known=water in (Overall.MISSES, *_GOOD_WATER),
        untested_water=water is Overall.UNTESTED,
        several_changed=last is None and len(_variables(evidence.changed)) > 1,
        worse=evidence.worse or _surely_worse(evidence),
        said_worse=evidence.worse,
        was_balanced=before is not None and before.tastes == {Taste.BALANCED},
        last=last,
    )


Offset = Mapping[Variable, float]
"""How far one brew's settings lie from another's, in steps; what is equal is left out."""


def earlier_brews(evidence: Evidence) -> Iterator[tuple[Offset, Evidence]]:
    """The brews before, newest first, each with its offset from this one: while the changes from
    one to the next are known, and to the last one that tasted balanced, where the search began.

    A brew of which only the change from it is known is an empty Evidence.
    """
    offset: dict[Variable, float] = {}
    brew: Evidence | None = evidence
    while brew is not None and brew.changed is not None and (brew.changed or brew.before):
        for one in brew.changed:
            place = offset.get(one.move.variable, 0.0) - one.along
            offset = {**offset, one.move.variable: place}
        offset = {variable: place for variable, place in offset.items() if place}
        yield offset, brew.before or Evidence()
        brew = brew.before
        if brew is not None and brew.tastes == {Taste.BALANCED}:
            return


def _last(evidence: Evidence) -> Change | None:
    """What one thing sets this brew apart from the newest earlier one that it can be held against.

    After a change that was taken back along with a new one, that is the brew before the last.
    """
    for offset, _ in earlier_brews(evidence):
        if len(offset) == 1:
            ((variable, place),) = offset.items()
            steps = abs(place)
            if steps in (HALF, ONE, TWO):
                return Change(move_along(variable, -place), steps)
        if len(_variables(evidence.changed)) < 2:
            break
    return None


def _variables(changed: tuple[Change, ...] | None) -> set[Variable]:
    return {one.move.variable for one in changed or ()}


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
    """Extraction moved away from the classic box by more than both errors carry, and strength did
    not come nearer to its aim for it.
    """
    before = evidence.before
    if before is None or evidence.extraction_pct is None or before.extraction_pct is None:
        return False
    now, then = evidence.extraction_pct, before.extraction_pct
    moved = off_classic_extraction(now.value) - off_classic_extraction(then.value)
    return moved > _SURE * hypot(now.error, then.error) and not _nearer_in_strength(evidence)


def _nearer_in_strength(evidence: Evidence) -> bool:
    now = evidence.strength_pct
    then = None if evidence.before is None else evidence.before.strength_pct
    if now is None or then is None:
        return False
    aim = evidence.aim_strength_pct
    return abs(then.value - aim) - abs(now.value - aim) > _SURE * hypot(now.error, then.error)
