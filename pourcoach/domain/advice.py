"""What the program says: one cue at a time, and flags that stay."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType
from typing import NamedTuple

from pourcoach.domain.units import Seconds


class Word(Enum):
    """The closed list of cues. One word, readable from a metre."""

    TARE = "TARE"
    """Something stands on the scale that no tare has taken off."""
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


class CueState(Enum):
    """How things stand, apart from what to do: the colour of the panel, not its word."""

    CALM = "calm"
    """No water is due and nothing is wrong."""
    ON_TARGET = "on target"
    UNDER = "under"
    """Too little water, or it comes too slowly to reach the mark within the band."""
    OVER = "over"
    """Too much water, or it comes too fast to stay within the band."""
    UNSTEADY = "unsteady"
    DUE = "due"
    """Something is to be done at once: stop, tare, answer, pour what is overdue."""
    LOST = "lost"
    """No reading: how things stand is not known."""


USUAL_STATE: Mapping[Word, CueState] = {
    Word.TARE: CueState.DUE,
    Word.READY: CueState.CALM,
    Word.BLOOM: CueState.ON_TARGET,
    Word.POUR: CueState.ON_TARGET,
    Word.MORE: CueState.UNDER,
    Word.SLOW: CueState.OVER,
    Word.STEADY: CueState.UNSTEADY,
    Word.STOP: CueState.DUE,
    Word.WAIT: CueState.CALM,
    Word.DRAIN: CueState.CALM,
    Word.DONE: CueState.CALM,
    Word.SCALE: CueState.LOST,
}
"""The state that goes with a word where nothing else is known."""


NO_BASIS: Mapping[str, float] = MappingProxyType({})


class Cue(NamedTuple):
    """The one thing to do now. A named tuple, as is a Frame: one is made with every input."""

    word: Word
    since_s: Seconds
    """When it came into force, on the tape."""
    state: CueState
    """How things stand meanwhile. A word that waits for its answer does not make it on target."""
    basis: Mapping[str, float] = NO_BASIS
    """The numbers it was based on; keys end in a unit."""
    stop_due_s: Seconds | None = None
    """When STOP takes over if no input comes first, on the tape: a screen sets a timer to it."""


def usual_cue(word: Word, since_s: Seconds) -> Cue:
    """A cue in the state that usually goes with its word."""
    return Cue(word, since_s, USUAL_STATE[word])


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
    FAST_POUR = "fast-pour"
    SLOW_POUR = "slow-pour"
    EARLY = "early"
    LATE = "late"
    SLOW_DRAIN = "slow-drain"
    LIFTED = "lifted"
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
    """False: as reported live. True: judged in hindsight."""


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
