"""What the readings show, as of one moment."""

from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from pourcoach.domain.inputs import Finish, Mark, Tare
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Hertz, Seconds


class Disturbance(Enum):
    """Why the weight now says nothing about the hand."""

    KNOCK = "knock"
    """Readings off for a moment, then back where they were."""
    PLACED = "placed"
    """The level jumped up and stayed: a vessel set down."""
    LIFTED = "lifted"
    """The level jumped down and stayed: a vessel or the brewer taken away."""
    LEAN = "lean"
    """A slow push or pull that comes and goes: a hand or a cable resting on the platform."""


class EventKind(Enum):
    """What happened to the platform, beside water that was seen to come in."""

    SCALE_TARE = "scale-tare"
    """The scale went to zero of itself, or as it was commanded to: no water came or went."""
    LIFTED = "lifted"
    """Something was taken off and the level stayed down."""
    RETURNED = "returned"
    """What had been taken off was put back."""
    PLACED = "placed"
    """Something was set down and the level stayed up."""
    KNOCK = "knock"
    """A touch that passed; the level was where it had been."""
    SPIKE = "spike"
    """A single reading of the converter's that was off: nobody touched anything."""
    LEAN = "lean"
    """A hand pressed or pulled slowly and let go: what looked like water was none."""
    UNSEEN_WATER = "unseen-water"
    """The level rose by as much as water may while it could not be seen, in an outage or under a
    touch. It is counted, and nobody is judged by it."""
    OUTAGE = "outage"
    """No reading came for a while."""


MOVES = (EventKind.LIFTED, EventKind.PLACED, EventKind.RETURNED)
"""What changes the load on the platform."""


@dataclass(frozen=True, slots=True)
class PlatformEvent:
    """One thing that happened to the platform, as far as it is known by now."""

    kind: EventKind
    start_s: Seconds
    """On the recovered sample clock."""
    end_s: Seconds | None
    """None while it goes on."""
    change_g: Grams = 0.0
    """By how much the level is higher afterwards: of a tare, what the scale's figure lost (below
    zero); of a hand that let go, what had been taken for water under it (below zero); of any other
    touch that passed, 0."""
    error_g: Grams = 0.0
    """One standard error of ``change_g``; of an outage, of the water that may have come in it."""
    probability: float = 1.0
    """That it was this and nothing else. Where it is low, ask rather than assert."""
    to_zero: bool = False
    """Of what was taken off: whether the scale shows about zero afterwards, as it would after a
    tare of its own."""


class Settled(NamedTuple):
    """The same flow a moment later and much surer: the fixed-lag estimate (0.2 s back).

    A named tuple, as is Estimate: one is made with every reading, at a fifth of the time.
    """

    t_s: Seconds
    """The moment it is about, on the recovered sample clock; earlier than the Estimate's own."""
    mass_g: Grams
    flow_gps: GramsPerSecond
    flow_error_gps: GramsPerSecond
    """One standard error."""


class ScaleTrouble(Enum):
    """Why a scale's readings cannot be followed as other scales' are."""

    TOO_SLOW = "too slow"
    """It weighs too seldom to follow a pour."""
    CLOCK = "clock"
    """Its own clock steps back or stands still: its readings are timed by their arrival."""


@dataclass(frozen=True, slots=True)
class ScaleTraits:
    """What has been learnt of the scale from its own readings; None where it cannot be said yet."""

    rate_hz: Hertz | None = None
    noise_g: Grams | None = None
    """Standard deviation of one reading at rest."""
    step_g: Grams | None = None
    """Smallest step between readings."""
    trouble: ScaleTrouble | None = None


class Estimate(NamedTuple):
    """Mass and flow now, causal, with errors, and the pours found so far."""

    t_s: Seconds
    """The moment it is about, on the recovered sample clock, shifted by the known delay."""
    mass_g: Grams
    """Net of tare."""
    mass_error_g: Grams
    """One standard error."""
    flow_gps: GramsPerSecond
    """At the spout; 0 at rest."""
    flow_error_gps: GramsPerSecond
    """One standard error."""
    pouring: bool
    """Whether water is coming in, confirmed or provisional."""
    pour_probability: float
    """0 to 1, from the two-mode filter."""
    settled: Settled | None
    """The newest fixed-lag value; None where there is none new with this input.
    Collect them as they come: they make the trace."""
    disturbance: Disturbance | None
    """In force now; None on a quiet platform."""
    pours: tuple[Pour, ...]
    """Every uninterrupted pour found, on the unbroken weight, oldest first; the last one has
    ``end_s`` None while it runs. A finished pour may be replaced once by its refined self, and once
    more when the rest after it has shown what went off as vapour; a retracted one goes."""
    traits: ScaleTraits
    events: tuple[PlatformEvent, ...] = ()
    """All that happened to the platform so far, oldest first; the same tuple until one comes or
    changes. Hindsight may replace one: compare by ``start_s``, not by place."""
    booked_g: Grams = 0.0
    """What tares and vessels have taken off ``mass_g`` since the first reading, less what they put
    on it."""
    taken_back: Tare | Mark | Finish | None = None
    """What the brewer takes back with this input; None with every other input. There is one
    history of it, and it is the estimator's."""
    late: tuple[Settled, ...] = ()
    """Values before ``settled`` that were held back until it was clear what the readings were."""

    @property
    def unbroken_g(self) -> Grams:
        """The weight that only water moves, whatever is tared, lifted or set down."""
        return self.mass_g + self.booked_g
