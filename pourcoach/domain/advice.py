"""What the program says: one cue at a time, and flags that stay."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from pourcoach.domain.units import Seconds


class Word(Enum):
    """The closed list of cues. One word, readable from a metre."""

    READY = "READY"
    BLOOM = "BLOOM"
    POUR = "POUR"
    MORE = "MORE"
    SLOW = "SLOW"
    STEADY = "STEADY"
    STOP = "STOP"
    WAIT = "WAIT"
    DRAIN = "DRAIN"
    DONE = "DONE"
    SCALE = "SCALE?"


@dataclass(frozen=True, slots=True)
class Cue:
    """The one thing to do now."""

    word: Word
    since_s: Seconds
    """When it came into force, on the tape."""
    basis: Mapping[str, float] = field(default_factory=dict)
    """The numbers it was based on; keys end in a unit."""
    stop_due_s: Seconds | None = None
    """When STOP takes over if no input comes first, on the tape: a screen sets a timer to it."""


class FlagKind(Enum):
    """What can be noted about a brew. Meanings and defaults stand with the limits."""

    UNEVEN = "uneven"
    STALL = "stall"
    SURGE = "surge"
    OVERSHOOT = "overshoot"
    SHORT = "short"
    BLOOM_LIGHT = "bloom-light"
    BLOOM_HEAVY = "bloom-heavy"
    BLOOM_SHORT = "bloom-short"
    BLOOM_LONG = "bloom-long"
    EARLY = "early"
    LATE = "late"
    SLOW_DRAIN = "slow-drain"
    DISTURBED = "disturbed"
    GAP = "gap"


@dataclass(frozen=True, slots=True)
class Flag:
    """Something noted, with how surely and on what numbers."""

    kind: FlagKind
    start_s: Seconds
    """On the tape."""
    end_s: Seconds
    stage: str | None
    """The stage it belongs to; None where it belongs to none."""
    confidence: float
    """0 to 1: the share of such flags that are true."""
    evidence: Mapping[str, float] = field(default_factory=dict)
    """Keys end in a unit."""
    refined: bool = False
    """False: as told live. True: judged in hindsight."""


class RiskLevel(Enum):
    """How far the pour suggests channeling. It never proves it."""

    LOW = "low"
    RAISED = "raised"
    HIGH = "high"


@dataclass(frozen=True, slots=True)
class Risk:
    """The channeling risk of a brew, with the flags that are its reasons."""

    level: RiskLevel
    reasons: tuple[Flag, ...]
