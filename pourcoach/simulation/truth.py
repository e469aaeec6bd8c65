"""What really happened in a simulated brew."""

import math
from array import array
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.simulation.ticks import TICK_S


@dataclass(frozen=True, slots=True)
class TruePour:
    """One uninterrupted run of water, as it left the spout."""

    stage: int
    start_s: Seconds
    """On the tape: the first drop leaves the spout."""
    end_s: Seconds
    start_g: Grams
    """Poured in the whole brew before it."""
    end_g: Grams
    flow_cv: float | None
    """Realised coefficient of variation of flow, ramps left out as in judging a real pour;
    None where it is too short to judge."""


@dataclass(frozen=True, slots=True)
class MadeFault:
    """A fault as it came out."""

    kind: FlagKind
    start_s: Seconds
    end_s: Seconds
    stage: int | None
    size: float
    """In the unit of the fault ordered."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something else worth knowing, on the tape."""

    t_s: Seconds
    what: str


@dataclass(frozen=True, slots=True)
class TrueTare:
    """The scale has zeroed itself by its own button."""

    t_s: Seconds
    """Of the first sample from the new zero."""
    grams: Grams
    """How far its readings fell."""


@dataclass(frozen=True, slots=True)
class WaterBalance:
    """Where all the water is."""

    t_s: Seconds
    poured_g: Grams
    in_flight_g: Grams
    retained_g: Grams
    """Kept by the bed for good."""
    draining_g: Grams
    """In the brewer, yet to drain."""
    drained_g: Grams
    evaporated_g: Grams


@dataclass(slots=True)
class Truth:
    """Grows as the brew goes on."""

    first_water_s: Seconds
    """On the tape."""
    spout_gps: "array[float]" = field(default_factory=lambda: array("d"))
    """Flow at the spout over each tick of ``TICK_S``, from the beginning of the tape."""
    poured: "array[float]" = field(default_factory=lambda: array("d", [0.0]))
    """Grams that have left the spout by the beginning of each tick."""
    pours: list[TruePour] = field(default_factory=list)
    faults: list[MadeFault] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    tares: list[TrueTare] = field(default_factory=list)
    lifts: list[tuple[Seconds, Seconds]] = field(default_factory=list)
    """From when to when the brewer is off the scale; the last one ends never."""
    balances: list[WaterBalance] = field(default_factory=list)
    """Four a second."""
    drained_s: Seconds | None = None
    """When the bed had drained after the last pour."""

    def flow_gps(self, t_s: Seconds) -> GramsPerSecond:
        """At the spout at this moment; 0 outside the brew."""
        tick = math.floor(t_s / TICK_S)
        return self.spout_gps[tick] if 0 <= tick < len(self.spout_gps) else 0.0

    def poured_g(self, t_s: Seconds) -> Grams:
        """What has left the spout by this moment."""
        place = min(max(t_s / TICK_S, 0.0), len(self.poured) - 1.0)
        tick = min(int(place), len(self.poured) - 2)
        if tick < 0:
            return 0.0
        return self.poured[tick] + (self.poured[tick + 1] - self.poured[tick]) * (place - tick)

    def as_dict(self) -> dict[str, Any]:
        """For JSON. Flow and mass twenty times a second: ``flow_gps[i]`` is the mean over the
        twentieth that begins at ``i * step_s``."""
        every = round(0.05 / TICK_S)
        poured = self.poured[::every]
        return {
            "first_water_s": round(self.first_water_s, 4),
            "drained_s": None if self.drained_s is None else round(self.drained_s, 3),
            "pours": [
                {
                    "stage": pour.stage,
                    "start_s": round(pour.start_s, 4),
                    "end_s": round(pour.end_s, 4),
                    "start_g": round(pour.start_g, 3),
                    "end_g": round(pour.end_g, 3),
                    "flow_cv": None if pour.flow_cv is None else round(pour.flow_cv, 4),
                }
                for pour in self.pours
            ],
            "faults": [
                {
                    "kind": fault.kind.value,
                    "start_s": round(fault.start_s, 3),
                    "end_s": round(fault.end_s, 3),
                    "stage": fault.stage,
                    "size": round(fault.size, 4),
                }
                for fault in self.faults
            ],
            "events": [{"t": round(event.t_s, 3), "what": event.what} for event in self.events],
            "tares": [
                {"t": round(tare.t_s, 4), "grams": round(tare.grams, 3)} for tare in self.tares
            ],
            "lifts": [
                {
                    "start_s": round(start_s, 3),
                    "end_s": None if math.isinf(end_s) else round(end_s, 3),
                }
                for start_s, end_s in self.lifts
            ],
            "step_s": 0.05,
            "flow_gps": [round((after - before) / 0.05, 3) for before, after in pairwise(poured)],
            "poured_g": [round(mass_g, 3) for mass_g in poured],
        }
