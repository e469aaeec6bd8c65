"""Faults on order: what a hand, a bed or a bystander does wrong, where and by how much."""

from dataclasses import dataclass
from typing import TypeAlias

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds


@dataclass(frozen=True, slots=True)
class Uneven:
    """The flow of one stage wanders by this coefficient of variation."""

    stage: int
    """Index in the plan."""
    cv: float


@dataclass(frozen=True, slots=True)
class Stall:
    """Water falls to a share of the hand's flow for a while, then goes on."""

    stage: int
    lasts_s: Seconds = 1.8
    """At the bottom, edges not counted."""
    share: float = 0.0
    """Of the flow before; 0 stops it altogether."""
    after_share: float = 0.5
    """Of the stage's water, poured when it comes."""


@dataclass(frozen=True, slots=True)
class Surge:
    """Water rises to a multiple of the hand's flow for a while."""

    stage: int
    lasts_s: Seconds = 1.4
    """At the top, edges not counted."""
    share: float = 2.1
    after_share: float = 0.4


@dataclass(frozen=True, slots=True)
class Landing:
    """A stage ends this far beyond its mark; below it where negative."""

    stage: int
    off_g: Grams


@dataclass(frozen=True, slots=True)
class BloomWater:
    """The bloom gets this share more than planned; less where negative."""

    off_share: float


@dataclass(frozen=True, slots=True)
class Start:
    """A stage begins this much late; early where negative."""

    stage: int
    off_s: Seconds


@dataclass(frozen=True, slots=True)
class SlowBed:
    """The bed lets water through this many times more slowly than fitted."""

    times: float


@dataclass(frozen=True, slots=True)
class Knock:
    """The platform is struck; size and duration are chosen. Times of disturbances count from the
    first water."""

    brew_s: Seconds
    size_g: Grams = 15.0
    """Peak of the first blow; down is positive."""
    lasts_s: Seconds = 0.25


@dataclass(frozen=True, slots=True)
class Lean:
    """A hand or a cable rests on the platform (or pulls, where negative) and goes again."""

    brew_s: Seconds
    size_g: Grams = 20.0
    lasts_s: Seconds = 4.0
    edge_s: Seconds = 0.6
    """Coming and going; common practice. A slow lean takes seconds."""


@dataclass(frozen=True, slots=True)
class Press:
    """A hand presses on the platform more and more, holds, and lets go: slowly enough to look like
    water while it grows. The sizes are chosen, after logs of hands pressing on a scale."""

    brew_s: Seconds
    """Negative before the first water."""
    size_g: Grams = 30.0
    rises_s: Seconds = 4.0
    holds_s: Seconds = 1.5
    falls_s: Seconds = 0.6

    @property
    def lasts_s(self) -> Seconds:
        """From the first touch until the hand is off."""
        return self.rises_s + self.holds_s + self.falls_s


@dataclass(frozen=True, slots=True)
class Lift:
    """The brewer is lifted off, looked under or swirled, and put back."""

    brew_s: Seconds
    lasts_s: Seconds = 3.0


@dataclass(frozen=True, slots=True)
class Dropout:
    """Nothing arrives from the scale for a while."""

    brew_s: Seconds
    lasts_s: Seconds = 2.0


@dataclass(frozen=True, slots=True)
class Outage:
    """The link is down for a while, and the way in says so, as a live scale's does."""

    brew_s: Seconds
    lasts_s: Seconds = 4.0
    noticed_s: Seconds = 1.5
    """How long after the last reading the loss is reported: a live scale waits this long before it
    takes silence for a loss. Near 0 for a cable that is pulled out."""


@dataclass(frozen=True, slots=True)
class OwnTare:
    """Someone presses the scale's own tare button, which shows in the readings alone."""

    brew_s: Seconds


@dataclass(frozen=True, slots=True)
class Vapour:
    """The bed gives off this much while it is hot, in place of the usual: 0.01 to 0.05 g/s were
    seen of wet beds."""

    gps: GramsPerSecond = 0.03


Disturbance: TypeAlias = Knock | Lean | Press | Lift
"""What is done to the platform."""
Loss: TypeAlias = Dropout | Outage
"""When nothing arrives."""
OrderedFault: TypeAlias = (
    Uneven
    | Stall
    | Surge
    | Landing
    | BloomWater
    | Start
    | SlowBed
    | Vapour
    | Disturbance
    | OwnTare
    | Loss
)
