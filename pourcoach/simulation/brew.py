"""One simulated brew, moved forward as far as asked."""

import math
from collections import deque
from collections.abc import Sequence

from pourcoach.domain.advice import Cue, FlagKind
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.simulation.bed import DRIP_GPS, USUAL_KETTLE_C, BedModel, fitted_permeability_m2
from pourcoach.simulation.faults import (
    Disturbance,
    Lift,
    Loss,
    OrderedFault,
    Outage,
    OwnTare,
    SlowBed,
    Vapour,
)
from pourcoach.simulation.ground_truth import GroundTruth
from pourcoach.simulation.hand.hand import SIGHT_S, Hand
from pourcoach.simulation.hand.profile import HandProfile
from pourcoach.simulation.hand.profiles import profile_named
from pourcoach.simulation.handling import Handling, bumps, habitual, presses
from pourcoach.simulation.jet import Jet
from pourcoach.simulation.scale.converter import Converter
from pourcoach.simulation.scale.corners import Corners
from pourcoach.simulation.scale.drumming import Drumming
from pourcoach.simulation.scale.link import SimulatedLink
from pourcoach.simulation.scale.outages import Arriving, with_link_states
from pourcoach.simulation.scale.platform import PlatformModel
from pourcoach.simulation.scale.scale_model import USUAL_SCALE, ScaleModel
from pourcoach.simulation.ticks import TICK_S, rng
from pourcoach.simulation.truth import Event, MadeFault, TrueTare, Truth, WaterBalance
from pourcoach.simulation.vessels import Vessels

REST_S = (3.0, 6.0)
"""Readings go on this long after the bed has drained; one draw a brew."""
LIFT_OFF_S = 0.5
"""From the end of the rest to lifting the brewer off to serve."""
LANDED_S = 0.5
"""After the spout has closed: all water has fallen and the bed's outflow is seen."""
BLIND_SPREAD = 0.05
"""How well a hand that sees only the server's weight knows what it has poured; chosen."""
_BALANCE_TICKS = round(0.25 / TICK_S)


class SimulatedBrew:
    """Hand, jet, bed, platform, converter and link in one world of fixed ticks.

    ``advance_to`` may be called in any steps of time: the readings are the same. With the same
    arguments (and cues heard at the same moments) everything is the same to the last bit.
    """

    def __init__(
        self,
        plan: Plan,
        profile: str | HandProfile,
        seed: int,
        scale: ScaleModel = USUAL_SCALE,
        arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
        faults: Sequence[OrderedFault] = (),
    ) -> None:
        """Raises UsageError where no hand has that name."""
        if isinstance(profile, str):
            profile = profile_named(profile)
        self.plan = plan
        self.arrangement = arrangement
        self._hand = Hand(profile, plan, faults, seed)
        first_water_s = self._hand.first_water_s
        self.truth = Truth(first_water_s)
        self._ground_truth = GroundTruth(plan, self.truth)

        disturbances = [fault for fault in faults if isinstance(fault, Disturbance)]
        disturbances += habitual(profile.knocks, profile.lifts, plan, rng(seed, "bystander"))
        disturbances += bumps(profile.bumps, plan, rng(seed, "bumps"))
        disturbances += presses(profile.presses, plan, rng(seed, "presses"))
        self._handling = Handling(
            disturbances,
            first_water_s,
            scale.touches_per_min,
            rng(seed, "touches"),
            rng(seed, "pressing"),
            self.truth,
        )
        losses = [fault for fault in faults if isinstance(fault, Loss)]
        for one in [*disturbances, *losses]:
            start_s = first_water_s + one.brew_s
            kind = FlagKind.GAP if isinstance(one, Loss) else FlagKind.DISTURBED
            if isinstance(one, Lift):
                kind = FlagKind.LIFTED
            size = one.lasts_s if isinstance(one, Loss | Lift) else one.size_g
            self.truth.faults.append(MadeFault(kind, start_s, start_s + one.lasts_s, None, size))
        self._outages = [one for one in losses if isinstance(one, Outage)]

        slower = math.prod(fault.times for fault in faults if isinstance(fault, SlowBed))
        vapours_gps = [fault.gps for fault in faults if isinstance(fault, Vapour)]
        self._jet = Jet(profile.height_m)
        self._bed = BedModel(
            plan.dose_g,
            fitted_permeability_m2(plan) / slower,
            plan.temperature_c or USUAL_KETTLE_C,
            vapour_gps=vapours_gps[-1] if vapours_gps else None,
        )
        self._vessels = Vessels(arrangement, plan.dose_g, self._bed, self._jet)
        self._platform = PlatformModel(scale)
        self._drumming = Drumming(scale.drumming_s, rng(seed, "drumming"))
        self._converter = Converter(
            scale,
            rng(seed, "converter"),
            rng(seed, "spikes"),
            [first_water_s + fault.brew_s for fault in faults if isinstance(fault, OwnTare)],
        )
        self._corners = Corners(scale, rng(seed, "corners"))
        self._link = SimulatedLink(
            scale,
            [
                (first_water_s + one.brew_s, first_water_s + one.brew_s + one.lasts_s)
                for one in losses
            ],
            rng(seed, "link"),
            rng(seed, "packets"),
        )
        brew = rng(seed, "brew")
        self._rest_s = brew.uniform(*REST_S)
        self._guess: float | None = None
        """What a hand that sees only the server makes of what it has poured, as a share of it."""
        if arrangement is Arrangement.SERVER_ON_SCALE:
            self._guess = 1 + brew.gauss(0, BLIND_SPREAD)
        self._tick = 0
        self._seen: deque[Grams] = deque([0.0] * round(SIGHT_S / TICK_S))
        self._last_water_s = 0.0
        self._handed_out_s = 0.0
        self._lifted_off = False

    @property
    def end_s(self) -> Seconds | None:
        """When the brew and its rest are over, on the tape; None until the bed has drained."""
        drained_s = self.truth.drained_s
        return None if drained_s is None else drained_s + self._rest_s

    @property
    def over(self) -> bool:
        """Whether time has been moved past the brew and its rest.

        Readings go on all the same: the hand lifts the brewer off (or the server, where that
        stands alone), and the empty scale stays.
        """
        return self.end_s is not None and self._handed_out_s >= self.end_s

    def advance_to(self, t_s: Seconds) -> list[Reading]:
        """Readings that arrive by ``t_s`` and were not returned before, in order of arrival."""
        while self._tick * TICK_S < t_s:
            self._step()
        self._handed_out_s = max(t_s, self._handed_out_s)
        return self._link.arrived(t_s)

    def run(self) -> list[Reading]:
        """All readings, or all that are left, up to the end of the brew."""
        readings: list[Reading] = []
        while self.end_s is None or self._handed_out_s < self.end_s:
            ahead_s = self._handed_out_s + 1.0
            readings += self.advance_to(ahead_s if self.end_s is None else self.end_s)
        return readings

    def arriving(self, readings: Sequence[Reading]) -> list[Arriving]:
        """The readings as a live scale hands them over: with the states of the link that ordered
        outages bring about."""
        return with_link_states(readings, self._outages, self.truth.first_water_s)

    def hear(self, cue: Cue, t_s: Seconds) -> None:
        """Let the hand see and hear a cue in force at ``t_s``. It may be passed again and again."""
        if not self._lifted_off:
            self._hand.hear(cue, t_s)

    def balance(self) -> WaterBalance:
        """Where the water is at this moment."""
        bed = self._bed
        return WaterBalance(
            self._tick * TICK_S,
            self.truth.poured[-1],
            self._jet.in_flight_g,
            bed.retained_g,
            bed.free_g,
            bed.drained_g,
            bed.evaporated_g,
        )

    def _step(self) -> None:
        t_s = self._tick * TICK_S
        hand, bed, truth = self._hand, self._bed, self.truth
        spout_gps = hand.step(t_s, self._seen.popleft())
        landing_gps = self._jet.step(spout_gps)
        bed.step(landing_gps)
        poured_g = truth.poured[-1] + spout_gps * TICK_S
        truth.spout_gps.append(spout_gps)
        truth.poured.append(poured_g)

        weight_g = self._vessels.weight_g()
        self._seen.append(poured_g * self._guess if self._guess else weight_g)
        force_g = weight_g + self._handling.force_g(t_s)
        if not self._lifted_off and self.end_s is not None and t_s > self.end_s + LIFT_OFF_S:
            self._handling.lift_off(t_s)
            self._lifted_off = True
        if carried := self._handling.lifted(t_s):
            force_g -= carried * self._vessels.lifted_g()
        flow_gps, push_g = self._vessels.poured_on(landing_gps)
        signal_g = self._platform.step(t_s, force_g, flow_gps, hot=poured_g > 0)
        signal_g += self._drumming.step(flow_gps)
        if self._corners.apart:
            self._corners.step(flow_gps, push_g, hand.landing_m(t_s))
        sample = self._converter.step(t_s + TICK_S, signal_g)
        if sample is not None:
            if sample.tared_g:
                truth.tares.append(TrueTare(sample.t_s, sample.tared_g))
            if sample.spike_g:
                truth.events.append(Event(sample.t_s, "spike"))
            self._link.send(sample, self._corners.shares(sample.grams))
        landed = t_s > self._last_water_s + LANDED_S
        if spout_gps > 0:
            self._last_water_s = t_s
        self._ground_truth.saw(
            t_s,
            spout_gps,
            hand.stage,
            hand.stream,
            on_scale_g=poured_g - bed.evaporated_g,
            drained=landed and bed.outflow_gps < DRIP_GPS and hand.done,
        )
        if self._tick % _BALANCE_TICKS == 0:
            truth.balances.append(self.balance())
        self._tick += 1
