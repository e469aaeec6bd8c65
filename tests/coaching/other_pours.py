"""A second, smaller generator of brews: another hand, another scale, another everything.

It shares nothing with ``pourcoach.simulation``, so that coaching is not only right about the
models that it was tuned on. The hand draws straight lines between random knots and opens and
closes its stream exponentially; the scale lags by a first-order filter, its noise is
autocorrelated, and it swings after a stop. Values are chosen.
"""

from dataclasses import dataclass
from math import cos, exp, pi, sin
from random import Random

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Plan, Stage

STEP_S = 0.004
HAND = (
    *(FlagKind.UNEVEN, FlagKind.STALL, FlagKind.SURGE, FlagKind.OVERSHOOT, FlagKind.SHORT),
    *(FlagKind.BLOOM_LIGHT, FlagKind.BLOOM_HEAVY, FlagKind.BLOOM_SHORT, FlagKind.BLOOM_LONG),
    *(FlagKind.EARLY, FlagKind.LATE),
)
ORDERED = (None, None, None, *HAND, FlagKind.DISTURBED, FlagKind.GAP)
"""What brews are drawn from; None is a clean one."""


@dataclass(frozen=True)
class OtherBrew:
    """Readings, and what was ordered in them."""

    plan: Plan
    readings: tuple[Reading, ...]
    ordered: FlagKind | None
    rate_hz: float


def other_brew(seed: int) -> OtherBrew:
    """One brew; the same seed gives the same."""
    chance = Random(f"other {seed}")
    ordered = ORDERED[seed % len(ORDERED)]
    plan = _plan(chance)
    flow = _Hand(plan, ordered, chance)
    # 9.6 Hz: so a slow scale has no four readings within three tenths of a second.
    rate_hz = chance.choice((9.6, 16.0, 25.0, 50.0))
    return OtherBrew(plan, tuple(_weigh(flow, rate_hz, ordered, chance)), ordered, rate_hz)


def _plan(chance: Random) -> Plan:
    dose_g = chance.uniform(14.0, 26.0)
    flow_gps = chance.uniform(3.8, 6.0)
    marks_g = (2.0 * dose_g, 9.0 * dose_g, 16.0 * dose_g)
    starts_s = [0.0, 36.0]
    starts_s.append(starts_s[1] + (marks_g[1] - marks_g[0]) / flow_gps + 20.0)
    names = ("bloom", "pour 1", "pour 2")
    stages = tuple(
        Stage(name, start_s, to_g, flow_gps)
        for name, start_s, to_g in zip(names, starts_s, marks_g, strict=True)
    )
    return Plan(dose_g, 16.0, marks_g[2], 36.0, starts_s[2] + 80.0, stages)


class _Hand:
    """The flow of a whole brew as a list over small steps."""

    def __init__(self, plan: Plan, ordered: FlagKind | None, chance: Random) -> None:
        self.first_s = chance.uniform(2.5, 4.0)
        self.flow_gps: list[float] = [0.0] * round(self.first_s / STEP_S)
        self.stops_s: list[float] = []
        poured_g = 0.0
        for index, stage in enumerate(plan.stages):
            to_g = stage.to_g + _off_mark(plan, index, ordered) + chance.gauss(0.0, 0.5)
            due_s = stage.start_s + _off_time(index, ordered) + chance.uniform(-0.5, 1.5)
            self._rest(self.first_s + due_s if index else self.first_s)
            poured_g = self._pour(stage, poured_g, to_g, index, ordered, chance)
            self.stops_s.append(len(self.flow_gps) * STEP_S)
        self._rest(len(self.flow_gps) * STEP_S + 12.0)

    def _rest(self, until_s: float) -> None:
        self.flow_gps += [0.0] * (round(until_s / STEP_S) - len(self.flow_gps))

    def _pour(
        self,
        stage: Stage,
        from_g: float,
        to_g: float,
        index: int,
        ordered: FlagKind | None,
        chance: Random,
    ) -> float:
        wander = 0.45 if ordered is FlagKind.UNEVEN and index == 1 else 0.08
        own_gps = stage.flow_gps * chance.uniform(0.94, 1.06)
        opening_s, closing_s = chance.uniform(0.06, 0.2), chance.uniform(0.05, 0.12)
        at_g = from_g + chance.uniform(0.35, 0.6) * (to_g - from_g)
        knots = [1.0, 1.0]
        spacing_s, knot_s, since_s = chance.uniform(0.7, 1.1), 0.0, 0.0
        fault_s: float | None = None
        poured_g = from_g
        while poured_g + own_gps * closing_s < to_g:
            if since_s >= knot_s:
                knots = [knots[1], 1.0 + wander * chance.uniform(-1.7, 1.7)]
                knot_s += spacing_s
            share = 1.0 - (knot_s - since_s) / spacing_s
            flow = own_gps * max(0.35, knots[0] + (knots[1] - knots[0]) * share)
            flow *= 1.0 - exp(-since_s / opening_s)
            if index == 2 and ordered in (FlagKind.STALL, FlagKind.SURGE) and poured_g > at_g:
                fault_s = since_s if fault_s is None else fault_s
                flow *= _interrupted(ordered, since_s - fault_s)
            self.flow_gps.append(flow)
            poured_g += flow * STEP_S
            since_s += STEP_S
        while flow > 0.05:
            flow *= exp(-STEP_S / closing_s)
            self.flow_gps.append(flow)
            poured_g += flow * STEP_S
        return poured_g


def _interrupted(ordered: FlagKind, since_s: float) -> float:
    """Straight edges of 0.15 s about two seconds without water, or 1.5 s of a surge."""
    lasts_s, level = (2.0, 0.0) if ordered is FlagKind.STALL else (1.5, 2.3)
    depth = min(1.0, since_s / 0.15, (lasts_s + 0.3 - since_s) / 0.15)
    return 1.0 + (level - 1.0) * max(0.0, depth)


def _off_mark(plan: Plan, index: int, ordered: FlagKind | None) -> float:
    twice_g = 2.0 * max(5.0, 0.05 * plan.stages[index].to_g)
    bloom_g = 0.4 * plan.stages[0].to_g
    return {
        (FlagKind.OVERSHOOT, 1): twice_g,
        (FlagKind.SHORT, 2): -twice_g,
        (FlagKind.BLOOM_LIGHT, 0): -bloom_g,
        (FlagKind.BLOOM_HEAVY, 0): bloom_g,
    }.get((ordered, index), 0.0)


def _off_time(index: int, ordered: FlagKind | None) -> float:
    return {
        (FlagKind.BLOOM_SHORT, 1): -11.0,
        (FlagKind.BLOOM_LONG, 1): 30.0,
        (FlagKind.BLOOM_LONG, 2): 30.0,
        (FlagKind.EARLY, 2): -16.0,
        (FlagKind.LATE, 2): 16.0,
    }.get((ordered, index), 0.0)


def _knock(since_stop_s: float) -> float:
    """Seven seconds after the stop."""
    since_s = since_stop_s - 7.0
    return 18.0 * exp(-since_s / 0.2) * cos(2.0 * pi * 5.0 * since_s) if since_s >= 0.0 else 0.0


def _lean(since_stop_s: float) -> float:
    """A hand from just before the stop on, for two seconds."""
    return 40.0 * max(0.0, min(1.0, (since_stop_s + 0.3) / 0.4, (2.1 - since_stop_s) / 0.1))


def _swirl(since_stop_s: float) -> float:
    """The brewer turned about on the platform, to level the bed."""
    since_s = since_stop_s - 5.0
    depth = max(0.0, min(1.0, since_s / 0.2, (3.0 - since_s) / 0.2))
    return 35.0 * depth * sin(2.0 * pi * 2.1 * since_s)


def _weigh(hand: _Hand, rate_hz: float, ordered: FlagKind | None, chance: Random) -> list[Reading]:
    """Lag, a touch, swing after a stop, coloured noise, drift, steps of a tenth, late arrivals."""
    noise_g, lag_s = chance.uniform(0.02, 0.06), chance.choice((0.02, 0.05, 0.3))
    drift_gps = chance.uniform(-0.03, 0.002)
    touch = chance.choice((_knock, _lean, _swirl))
    gap_s = hand.stops_s[0] + 6.0
    readings: list[Reading] = []
    poured_g = shown_g = coloured_g = 0.0
    due_s = arrived_s = 0.0
    for step, flow_gps in enumerate(hand.flow_gps):
        t_s = step * STEP_S
        poured_g += flow_gps * STEP_S
        shown_g += (poured_g - shown_g) * STEP_S / lag_s
        if t_s < due_s:
            continue
        due_s += 1.0 / rate_hz
        coloured_g = 0.5 * coloured_g + noise_g * 0.87 * chance.gauss(0.0, 1.0)
        grams = shown_g + coloured_g + drift_gps * t_s
        for stop_s in hand.stops_s:
            if stop_s <= t_s < stop_s + 2.0:
                grams += 0.06 * exp(-(t_s - stop_s) / 0.4) * sin(2.0 * pi * 3.0 * (t_s - stop_s))
        if ordered is FlagKind.DISTURBED:
            grams += touch(t_s - hand.stops_s[1])
        if ordered is FlagKind.GAP and gap_s <= t_s < gap_s + 2.2:
            continue
        arrived_s = max(arrived_s, t_s + abs(chance.gauss(0.0, 0.004)))
        readings.append(Reading(arrived_s, round(grams, 1)))
    return readings
