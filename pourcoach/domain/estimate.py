"""What the readings tell, as of one moment."""

from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Hertz, Seconds


class Disturbance(Enum):
    """Why the weight now tells nothing of the hand."""

    KNOCK = "knock"
    """Readings off for a moment, then back where they were."""
    PLACED = "placed"
    """The level jumped up and stayed: a vessel set down."""
    LIFTED = "lifted"
    """The level jumped down and stayed: a vessel or the brewer taken away."""
    LEAN = "lean"
    """A slow push or pull that comes and goes: a hand or a cable resting on the platform."""


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


@dataclass(frozen=True, slots=True)
class ScaleTraits:
    """What has been learnt of the scale from its own readings; None where it cannot be said yet."""

    rate_hz: Hertz | None = None
    noise_g: Grams | None = None
    """Standard deviation of one reading at rest."""
    step_g: Grams | None = None
    """Smallest step between readings."""


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
    step_g: Grams
    """How far the level jumped with this input, when a jump was taken as a vessel; else 0."""
    pours: tuple[Pour, ...]
    """Every uninterrupted pour found, oldest first; the last one has ``end_s`` None while it
    runs. A finished pour may be replaced once by its refined self, and a retracted one goes."""
    traits: ScaleTraits
