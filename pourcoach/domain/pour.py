"""A pour, a stage as it was poured, and where the brew stands."""

from dataclasses import dataclass
from enum import Enum
from math import hypot
from typing import NamedTuple

from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds


class Unjudged(Enum):
    """Why a pour has no figure for how even it was."""

    TOO_SHORT = "too short"
    HIDDEN = "hidden"
    """Touches, gaps or lost readings hide too much of it."""
    NOISY = "noisy"
    """The scale is too noisy or too slow to separate the hand from its noise."""


@dataclass(frozen=True, slots=True)
class Pour:
    """One uninterrupted run of water. Times are on the tape; masses are on the weight that only
    water moves, in an Estimate from its first reading, in a PourState from dry."""

    start_s: Seconds
    start_g: Grams
    end_s: Seconds | None = None
    """None while the water runs."""
    end_g: Grams | None = None
    mean_flow_gps: GramsPerSecond | None = None
    flow_cv: float | None = None
    """Coefficient of variation of flow, noise taken out, ramps left out; None if not judged."""
    flow_cv_error: float | None = None
    unjudged: Unjudged | None = None
    """Why not; None where it was, or the pour is not refined."""
    start_error_s: Seconds | None = None
    """Standard errors are None until the pour is refined."""
    end_error_s: Seconds | None = None
    mass_error_g: Grams | None = None
    mean_flow_error_gps: GramsPerSecond | None = None
    unseen_g: Grams = 0.0
    """How much of its water came while nothing could be seen, in an outage or under a touch: the
    mass is right, but when and how evenly that part came nobody knows."""
    refined: bool = False
    """False: as reported live. True: refitted in hindsight from the whole pour."""
    vapour_g: Grams | None = None
    """Water that went off as vapour while it ran, which the scale never showed; estimated from the
    rest after it, None until then."""

    @property
    def mass_g(self) -> Grams | None:
        """Water in this pour as the scale showed it; None while it runs."""
        return None if self.end_g is None else self.end_g - self.start_g

    @property
    def poured_g(self) -> Grams | None:
        """Water in this pour with what went off meanwhile, as far as that is known; None while it
        runs."""
        mass_g = self.mass_g
        return None if mass_g is None else mass_g + (self.vapour_g or 0.0)

    @property
    def duration_s(self) -> Seconds | None:
        """None while the water runs."""
        return None if self.end_s is None else self.end_s - self.start_s


@dataclass(frozen=True, slots=True)
class StagePour:
    """All the water of one stage: one pour, or several where it stopped and went on."""

    stage: str
    """The plan's name for it, or "pour N" where there is no plan."""
    pours: tuple[Pour, ...]
    """At least one, oldest first."""
    index: int | None = None
    """Its place in the plan as it was given; None for a pour that no stage asked for, and where
    there is no plan."""
    flow_cv: float | None = None
    """Over all its pours, gaps between them left out."""
    flow_cv_error: float | None = None
    unjudged: Unjudged | None = None
    """Why there is no figure; None where there is one, or it is not refined."""

    @property
    def start_s(self) -> Seconds:
        """First water of the stage, on the tape."""
        return self.pours[0].start_s

    @property
    def end_s(self) -> Seconds | None:
        """Last water of the stage; None while it runs."""
        return self.pours[-1].end_s

    @property
    def end_g(self) -> Grams | None:
        """Total on the scale when the stage ended; None while it runs."""
        return self.pours[-1].end_g

    @property
    def mass_g(self) -> Grams | None:
        """Water of the stage; None while it runs."""
        end_g = self.end_g
        return None if end_g is None else end_g - self.pours[0].start_g

    @property
    def poured_g(self) -> Grams | None:
        """Water of the stage with what went off as vapour meanwhile; None until that is known."""
        poured_g = 0.0
        for pour in self.pours:
            if pour.poured_g is None or pour.vapour_g is None:
                return None
            poured_g += pour.poured_g
        return poured_g

    @property
    def mean_flow_gps(self) -> GramsPerSecond | None:
        """Water over time poured, pauses left out; None while it runs."""
        mass_g = 0.0
        poured_s = 0.0
        for pour in self.pours:
            if pour.mass_g is None or pour.duration_s is None:
                return None
            mass_g += pour.mass_g
            poured_s += pour.duration_s
        return mass_g / poured_s if poured_s > 0 else None

    @property
    def mass_error_g(self) -> Grams | None:
        """Standard error of the water of its pours; None until all are refined."""
        errors = [pour.mass_error_g for pour in self.pours]
        return hypot(*(one for one in errors if one is not None)) if None not in errors else None

    @property
    def mean_flow_error_gps(self) -> GramsPerSecond | None:
        """Standard error of ``mean_flow_gps``, each pour's by its length; None until all are
        refined."""
        parts = [
            (pour.mean_flow_error_gps, pour.duration_s)
            for pour in self.pours
            if pour.mean_flow_error_gps is not None and pour.duration_s is not None
        ]
        poured_s = sum(lasted_s for _, lasted_s in parts)
        if len(parts) < len(self.pours) or poured_s <= 0.0:
            return None
        return hypot(*(error * lasted_s / poured_s for error, lasted_s in parts))


class Phase(Enum):
    """Where the brew stands."""

    READY = "ready"
    """Nothing poured yet."""
    POURING = "pouring"
    WAITING = "waiting"
    """Between stages."""
    DRAINING = "draining"
    """The last mark is reached; the bed drains."""
    DONE = "done"


class Ending(Enum):
    """How a brew came to its end."""

    RESTED = "rested"
    LIFTED = "lifted"
    KEY = "key"
    LEFT = "left"
    """Nobody poured for so long after the next pour was due that the brew was closed."""
    TAPE = "tape"
    """The recording stopped before the brew did."""


class Question(Enum):
    """What the readings leave open and only the brewer can answer."""

    COFFEE = "coffee"
    """As much came in after the tare as the dose of coffee, and then nothing more."""
    LIFTED = "lifted"
    """Something was taken off while water is still to come: the brewer, to be put back, or a thing
    that is not needed any more."""
    LIFT_OR_TARE = "lift or tare"
    """The weight fell, and the readings do not show whether the brewer was taken off or the scale
    zeroed by its own button."""
    GAIN = "gain"
    """More came at once, or while no reading came, than water can have: it is not counted."""
    LOST = "lost"
    """The weight fell back, as when a hand that pressed lets go, but it may have been a thing taken
    away: it is not counted as water any more."""
    HAND = "hand"
    """The first water came and the scale went to zero: by its own tare, or it was no water and the
    hand that pressed has let go. It is counted."""
    UNTARED_WATER = "untared water"
    """More came in than the dose, like water, on a scale that was not tared."""


class Replan(NamedTuple):
    """The rest of the plan was worked out again, since the brew had left it."""

    at_s: Seconds
    """On the tape."""
    stage: str
    """The stage that was poured otherwise."""
    off_g: Grams | None = None
    """By how much it ended beyond its mark (below: negative); None where time was the cause."""
    off_s: Seconds | None = None
    """By how much the rest is later (earlier: negative); None where its water was the cause."""


class NextStep(NamedTuple):
    """The next thing to do, for the NEXT line."""

    phase: Phase
    """POURING: pour ``stage`` to ``to_g``; WAITING: stop and wait; DRAINING; DONE."""
    at_s: Seconds | None
    """Brew time when it is due; None where only weight decides."""
    stage: str | None = None
    to_g: Grams | None = None


class PourState(NamedTuple):
    """Where the pour stands against the plan. Without a plan, what needs one is None.

    A named tuple, as are NextStep and Frame: one is made with every input, at a fifth of the time
    that a frozen dataclass takes. What moves with a reading that changes nothing else comes first.
    """

    brew_s: Seconds | None
    """Time since first water; stops at the end of the brew."""
    water_g: Grams
    """Water poured so far."""
    off_g: Grams | None
    """Weight less target: over is positive."""
    countdown_s: Seconds | None
    """Until the next pour, while waiting."""
    phase: Phase
    armed: bool
    """READY only: whether the next rise of weight will be taken as the first water."""
    brew_start_s: Seconds | None
    """First water, on the tape; None before it. Refined in hindsight, so it may move a little."""
    end_s: Seconds | None
    """On the tape; None until the brew is done."""
    ending: Ending | None
    plan: Plan | None
    """The plan in force, worked out again where the brew left the first one."""
    stage: Stage | None
    """The stage being poured, or waited for."""
    target_g: Grams | None
    """The target curve now."""
    band_g: Grams | None
    """Half width of the tolerance band about the target now."""
    off_s: Seconds | None
    """How far ahead of the curve in time; behind is negative."""
    next: NextStep | None
    stages: tuple[StagePour, ...]
    """What has been poured, oldest first; the last may still run."""
    replanned_s: Seconds | None = None
    """When the rest of the plan was last worked out again, on the tape; None if it never was."""
    replans: tuple[Replan, ...] = ()
    """Every change of the plan so far, oldest first."""
    looks_like: Arrangement | None = None
    """The other arrangement, where the readings contradict the one in use; else None."""
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE
    question: Question | None = None
    """What is to be answered before the brew can go on as it should; None where nothing is."""
    rise_g: Grams | None = None
    """What the question is about: how much came in."""
    early_s: Seconds | None = None
    """How long it still is to the time of the stage, where it was begun too early, and below zero
    for a few seconds after; else None."""
    overdue_s: Seconds | None = None
    """While waiting: how long ago the next pour was due; None before that."""

    @property
    def poured_g(self) -> Grams | None:
        """All that left the kettle: with what went off as vapour, while ``water_g`` is without.
        None until that is known of every stage."""
        poured_g = 0.0
        for stage in self.stages:
            if stage.poured_g is None:
                return None
            poured_g += stage.poured_g
        return poured_g if self.stages else None
