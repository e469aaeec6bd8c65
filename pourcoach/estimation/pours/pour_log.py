"""Pours as they begin, are confirmed or taken back, end, and are refined."""

import math
from dataclasses import replace

from pourcoach.domain.fall import Fall
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.platform.zero import Zero
from pourcoach.estimation.pours.hinge import fit_stop
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refit import STILL_SIDE_S, Refinement
from pourcoach.estimation.pours.start_watch import LEAST_FLOW_GPS, LOOK_BACK_S, StartWatch

# Likely for so long, water goes on after a dip.
LIKELY_FOR_S = 0.06
# A start must then be this sure for this long, or it is taken back.
SURE_PROBABILITY = 0.99
SURE_FOR_S = 0.2
# So much over so long is no touch, however the steps of a coarse scale keep it from being sure.
CERTAIN_G = 5.0
CERTAIN_S = 2.0
# It is taken back, or has ended, below this for so long: a dip of the flow passes sooner.
OVER_PROBABILITY = 0.05
OVER_FOR_S = 0.05
# Less than this is no pour: a drip, slosh, a hand leaning (common practice).
LEAST_POUR_G = 1.0
# Above this mean flow no hand pours: something was set down or pressed (common practice).
MOST_FLOW_GPS = 14.0
# Soon after a pour the water still sloshes, and a start must have brought this much.
SLOSH_RISE_G = 1.0
SLOSH_S = 2.0
# A rise longer than this is no swing of sloshing water (1 Hz and faster, common practice).
SWING_S = 0.6
# A pour is taken back when this share of it goes again within this time of its end.
TAKEN_BACK_SHARE = 0.5
TAKEN_BACK_S = 15.0
# Water that goes on so soon after an end had not stopped, if it has brought more than slosh swings.
REJOIN_S = 0.5
REJOIN_G = 0.4
# A hinge lies half a ramp inside the pour; half of a usual ramp is this much (assumed).
HALF_RAMP_UP_S = 0.14
HALF_RAMP_DOWN_S = 0.1
# How far a little water may have run beyond the ends that are told.
EDGE_S = 0.1


class PourLog:
    """The list of pours; one may be open, one may wait to be refined, some may be in refinement."""

    __slots__ = (
        "_all",
        "_confirmed",
        "_fall",
        "_finished",
        "_open",
        "_over_since_s",
        "_record",
        "_refining",
        "_rest",
        "_rest_before",
        "_start",
        "_sure_since_s",
        "_traits",
        "_waiting_offset_g",
        "_zero",
    )

    def __init__(self, record: Record, zero: Zero, traits: TraitsLearner, fall: Fall) -> None:
        """It reads the record, the zero in force and the noise; it changes none but the record,
        which it tells what to forget."""
        self._record, self._zero, self._traits, self._fall = record, zero, traits, fall
        self._start = StartWatch(record, traits)
        self._finished: list[Pour] = []
        self._open: Pour | None = None
        self._confirmed = False
        self._over_since_s: Seconds | None = None
        self._sure_since_s: Seconds | None = None
        self._waiting_offset_g: Grams | None = None
        self._rest: tuple[Seconds, Grams] | None = None
        self._rest_before: tuple[Seconds, Grams] | None = None
        self._refining: list[tuple[Refinement, Grams, tuple[Seconds, Grams] | None]] = []
        self._all: tuple[Pour, ...] = ()

    @property
    def pours(self) -> tuple[Pour, ...]:
        """Oldest first."""
        return self._all

    @property
    def pouring(self) -> bool:
        """Whether one is open, confirmed or provisional."""
        return self._open is not None

    def holds(self, t_s: Seconds) -> bool:
        """Whether water may have run at this moment of the recent past."""
        if self._open is not None and t_s >= self._open.start_s - EDGE_S:
            return True
        if self._start.may_run(t_s):
            return True
        end_s = self._finished[-1].end_s if self._finished else None
        return end_s is not None and t_s <= end_s + EDGE_S

    def feed(
        self, t_s: Seconds, probability: float, flow_gps: GramsPerSecond, mass_g: Grams
    ) -> None:
        """A good reading at ``t_s``, and what the filter makes of it.

        ``flow_gps`` is the flow, were this a pour; ``mass_g`` the weight before any offset.
        """
        if self._open is None:
            self._at_rest(t_s, probability, flow_gps, mass_g)
        elif probability < OVER_PROBABILITY:
            if self._over_since_s is None:
                self._over_since_s = t_s
            if t_s - self._over_since_s >= OVER_FOR_S:
                self.end(t_s, mass_g)
        else:
            self._over_since_s = None
            if not self._confirmed:
                self._confirm(self._open, t_s, probability, flow_gps, mass_g)

    def rested(self, t_s: Seconds, mass_g: Grams) -> None:
        """The platform is quiet, and the weight before any offset is ``mass_g``."""
        self._rest = t_s, mass_g

    def touched(self, t_s: Seconds) -> None:
        """A reading at ``t_s`` is more likely a touch than not."""
        self._start.touched(t_s)

    def end(self, t_s: Seconds, mass_g: Grams) -> None:
        """End the open pour, if there is one, where the rise bends into rest."""
        if self._open is None:
            return
        pour, self._open, self._over_since_s = self._open, None, None
        offset_g = self._zero.offset_g
        times, grams = self._record.between(max(pour.start_s, t_s - LOOK_BACK_S), t_s)
        stop = fit_stop(times, grams)
        end_s = min(stop.t_s + HALF_RAMP_DOWN_S, t_s) if stop else t_s
        end_g = (stop.level_g if stop else mass_g) - offset_g
        mass_g = end_g - pour.start_g
        lasted_s = end_s - pour.start_s
        if self._confirmed and LEAST_POUR_G <= mass_g <= MOST_FLOW_GPS * lasted_s:
            mean_flow = mass_g / lasted_s
            self._finished.append(replace(pour, end_s=end_s, end_g=end_g, mean_flow_gps=mean_flow))
            self._waiting_offset_g = offset_g
        self._tell()

    def tared(self, change_g: Grams) -> None:
        """The offset rose by ``change_g``: the open pour counts from the new zero."""
        if self._open is not None:
            self._open = replace(self._open, start_g=self._open.start_g - change_g)
            self._tell()

    def fell(self, t_s: Seconds, mass_g: Grams) -> None:
        """The weight has fallen to ``mass_g``, slowly: take back what was no water after all.

        A pour that rested at its end is not: what falls may be a touch, and come back.
        """
        net_g = mass_g - self._zero.offset_g
        if self._open is not None:
            if net_g < self._open.start_g + LEAST_POUR_G:
                self._open = None
                self._tell()
        elif self._finished and self._waiting_offset_g is not None:
            last = self._finished[-1]
            gone = net_g < last.start_g + TAKEN_BACK_SHARE * (last.mass_g or 0.0)
            if gone and t_s - (last.end_s or t_s) < TAKEN_BACK_S:
                self._finished.pop()
                self._waiting_offset_g = None
                self._tell()

    def take_back(self, since_s: Seconds) -> None:
        """After a touch the weight is where it was at ``since_s``: nothing has come in since."""
        while self._finished and self._finished[-1].start_s >= since_s:
            self._finished.pop()
            self._waiting_offset_g = None
        self._tell()

    def came_back(self, t_s: Seconds, mass_g: Grams, within_s: Seconds) -> None:
        """The weight has come down to ``mass_g`` and stays: water does not leave the platform, so
        what is gone of a pour that ended no longer than ``within_s`` ago was a hand's."""
        self._start.let_go(mass_g)
        last = self._finished[-1] if self._finished else None
        if self._open is not None or last is None or last.end_s is None or last.end_g is None:
            return
        net_g = mass_g - self._zero.offset_g
        if t_s - last.end_s > within_s or last.end_g - net_g < LEAST_POUR_G:
            return
        if net_g < last.start_g + LEAST_POUR_G:
            if net_g > last.start_g - LEAST_POUR_G:
                self.take_back(last.start_s - EDGE_S)
            return
        times, grams = self._record.between(last.start_s, last.end_s)
        end_s = next((at_s for at_s, g in zip(times, grams, strict=True) if g > mass_g), None)
        if end_s is None or end_s <= last.start_s:
            return
        # How even the flow was cannot be told from a hand and water together.
        self._finished[-1] = replace(
            last,
            end_s=end_s,
            end_g=net_g,
            mean_flow_gps=(net_g - last.start_g) / (end_s - last.start_s),
            flow_cv=None,
            flow_cv_error=None,
            end_error_s=None,
            mass_error_g=None,
            mean_flow_error_gps=None,
            refined=True,
        )
        self._tell()

    def ran(self, since_s: Seconds) -> None:
        """Readings since then were taken for touches and are water after all."""
        last = self._finished[-1] if self._finished else None
        if self._open is None and last is not None and since_s - (last.end_s or 0.0) < REJOIN_S:
            self._rejoin(last)

    def refine(self, still_to_s: Seconds) -> None:
        """Begin to refine the pour that waits for it; rest lasted until ``still_to_s``."""
        if self._waiting_offset_g is None:
            return
        before_s = self._finished[-2].end_s if len(self._finished) > 1 else None
        refinement = Refinement(
            self._finished[-1],
            self._record,
            self._waiting_offset_g,
            self._traits,
            self._fall,
            (-math.inf if before_s is None else before_s, still_to_s),
        )
        self._refining.append((refinement, self._waiting_offset_g, self._rest_before))
        self._waiting_offset_g = None

    def refine_on(self) -> None:
        """Work on the oldest refinement for a slice."""
        if self._refining:
            pour = self._refining[0][0].step()
            if pour is not None:
                self._replace(pour)

    def finish_refining(self) -> None:
        """Do all that is left of it."""
        while self._refining:
            self._replace(self._refining[0][0].finish())

    def _replace(self, pour: Pour) -> None:
        """Put the oldest refinement's pour in place of the live one, if that still stands."""
        refinement, offset_g, rest = self._refining.pop(0)
        for place, live in enumerate(self._finished):
            if live is refinement.live:
                self._finished[place] = _with_unseen(pour, offset_g, rest)
                self._tell()

    def _at_rest(
        self, t_s: Seconds, probability: float, flow_gps: GramsPerSecond, mass_g: Grams
    ) -> None:
        """Nothing is open: look for a start, refine what has rested long enough."""
        start = self._start
        start.see(t_s, probability, flow_gps, mass_g)
        likely_since_s = start.likely_since_s
        if likely_since_s is None:
            if self._waiting_offset_g is None:
                self._record.forget(t_s - 2.0 * STILL_SIDE_S)
            elif t_s >= (self._finished[-1].end_s or 0.0) + STILL_SIDE_S:
                self.refine(t_s)
            return
        last = self._finished[-1] if self._finished else None
        if last is not None and likely_since_s - (last.end_s or 0.0) < REJOIN_S:
            rose_g = mass_g - self._zero.offset_g - (last.end_g or 0.0)
            if t_s - likely_since_s >= LIKELY_FOR_S and rose_g > REJOIN_G:
                self._rejoin(last)
        elif not self._sloshes(t_s, likely_since_s, mass_g, last) and start.has_begun(
            t_s, mass_g, self._ended_s
        ):
            self.refine(likely_since_s)
            self._rest_before = self._rest
            self._open = Pour(start_s=likely_since_s, start_g=mass_g - self._zero.offset_g)
            self._confirmed, self._sure_since_s = False, None
            self._place_start(t_s)

    def _rejoin(self, last: Pour) -> None:
        """The water had not stopped after all: the flow only dipped."""
        self._finished.pop()
        self._waiting_offset_g = None
        self._open = Pour(start_s=last.start_s, start_g=last.start_g)
        self._confirmed = True
        self._tell()

    def _sloshes(self, t_s: Seconds, since_s: Seconds, mass_g: Grams, last: Pour | None) -> bool:
        """Whether a rise since then may be the last pour's water, not yet at rest."""
        if last is None or last.end_s is None or last.end_g is None:
            return False
        soon = t_s - since_s < SWING_S and t_s - last.end_s < SLOSH_S
        return soon and mass_g - self._zero.offset_g < last.end_g + SLOSH_RISE_G

    def _confirm(
        self,
        pour: Pour,
        t_s: Seconds,
        probability: float,
        flow_gps: GramsPerSecond,
        mass_g: Grams,
    ) -> None:
        risen_g = mass_g - self._zero.offset_g - pour.start_g
        if risen_g > CERTAIN_G and t_s - pour.start_s > CERTAIN_S:
            self._confirmed = True
        elif probability < SURE_PROBABILITY or flow_gps < LEAST_FLOW_GPS:
            self._sure_since_s = None
        elif self._sure_since_s is None:
            self._sure_since_s = t_s
        elif t_s - self._sure_since_s >= SURE_FOR_S:
            self._confirmed = True
            self._place_start(t_s)

    @property
    def _ended_s(self) -> Seconds:
        """When the last pour ended."""
        end_s = self._finished[-1].end_s if self._finished else None
        return -math.inf if end_s is None else end_s

    def _place_start(self, t_s: Seconds) -> None:
        """Place the start of the open pour where rest bends into the rise, if that can be seen."""
        rise = self._start.bend(t_s, self._ended_s)
        if rise is not None:
            self._open = Pour(
                start_s=max(rise.t_s - HALF_RAMP_UP_S, t_s - LOOK_BACK_S, self._ended_s),
                start_g=rise.level_g - self._zero.offset_g,
            )
        self._tell()

    def _tell(self) -> None:
        tail = () if self._open is None else (self._open,)
        self._all = (*self._finished, *tail)


def _with_unseen(pour: Pour, offset_g: Grams, rest: tuple[Seconds, Grams] | None) -> Pour:
    """With the water that ran before the pour was seen, under a touch or in a gap: the weight had
    risen from where it rested, by no more than water does."""
    mean_gps = pour.mean_flow_gps
    if rest is None or mean_gps is None or pour.end_s is None or pour.end_g is None:
        return pour
    rest_s, rest_g = rest[0], rest[1] - offset_g
    unseen_g = pour.start_g - rest_g
    if not LEAST_POUR_G < unseen_g < MOST_FLOW_GPS * (pour.start_s - rest_s):
        return pour
    start_s = max(rest_s, pour.start_s - unseen_g / mean_gps)
    return replace(
        pour,
        start_s=start_s,
        start_g=rest_g,
        mean_flow_gps=(pour.end_g - rest_g) / (pour.end_s - start_s),
        start_error_s=None,
        mass_error_g=None,
        mean_flow_error_gps=None,
    )
