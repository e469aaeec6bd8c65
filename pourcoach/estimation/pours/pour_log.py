"""Pours as they begin, are confirmed or taken back, end, and are refined."""

import math
from collections.abc import Iterator
from dataclasses import replace

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.confirmation import Confirmation
from pourcoach.estimation.pours.hidden import REJOIN_S, Hidden, began_hidden, ended_hidden, parted
from pourcoach.estimation.pours.hinge import HALF_RAMP_DOWN_S, HALF_RAMP_UP_S, Hinge, fit_stop
from pourcoach.estimation.pours.let_go import LetGo
from pourcoach.estimation.pours.log_state import LogState
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refining import LEAST_POUR_G, RefiningQueue, Rest, begun_unseen
from pourcoach.estimation.pours.refit import STILL_SIDE_S, Refinement
from pourcoach.estimation.pours.start_watch import (
    LOOK_BACK_S,
    StartWatch,
    pushed,
    risen_from,
    sloshes,
)

# Water that has been likely for this long goes on after a dip.
LIKELY_FOR_S = 0.06
# So much that has stayed at its end was none either, were it never sure while it ran.
STAYED_G = 2.0
# A pour has ended, or is taken back, below this probability for longer than its flow dips.
OVER_PROBABILITY = 0.05
OVER_FOR_S = 0.05
# Water that goes on soon after an end had not stopped, if it brought more than slosh does.
REJOIN_G = 0.4
# How far a little water may have run beyond the ends that are reported.
EDGE_S = 0.1


class PourLog:
    """The list of pours; one may be open, one may wait to be refined, some may be in refinement.

    All weights are unbroken: neither a tare nor a vessel moves them.
    """

    __slots__ = (
        *("_confirmation", "_finished", "_hidden", "_let_go", "_open", "_over_since_s", "_record"),
        *("_rest", "_rest_before", "_start", "_traits", "_waiting", "pours", "refining"),
    )

    def __init__(self, record: Record, traits: TraitsLearner) -> None:
        """It reads the record and the noise, and changes of them only what the record forgets."""
        self._record, self._traits = record, traits
        self._start = StartWatch(record, traits)
        self._finished: list[Pour] = []
        self._open: Pour | None = None
        self._confirmation = Confirmation()
        self._over_since_s: Seconds | None = None
        self._waiting = False
        self._rest: Rest | None = None
        self._rest_before: Rest | None = None
        self._hidden: Hidden | None = None
        self._let_go = LetGo(record)
        self.refining = RefiningQueue()
        """Pours whose refinement is under way."""
        self.pours: tuple[Pour, ...] = ()
        """Oldest first; the same tuple until one comes or changes."""

    @property
    def pouring(self) -> bool:
        """Whether one is open, confirmed or provisional."""
        return self._open is not None

    @property
    def idle(self) -> bool:
        """Whether none is open, waits to be refined, or may have begun."""
        return not (self._waiting or self._open or self._start.may_run(math.inf))

    def holds(self, t_s: Seconds) -> bool:
        """Whether water may have run at this moment of the recent past."""
        if self._open is not None and t_s >= self._open.start_s - EDGE_S:
            return True
        if self._start.may_run(t_s):
            return True
        return t_s <= self._ended_s + EDGE_S

    def snapshot(self) -> LogState:
        """All of the state as it is."""
        return LogState(
            tuple(self._finished),
            self._open,
            self._confirmation.given,
            self._waiting,
            self._rest_before,
            self._hidden,
            self._let_go.fallen,
            self._start.snapshot(),
        )

    def restore(self, state: LogState) -> None:
        """Go back to a snapshot."""
        finished, self._open, confirmed, self._waiting = state[:4]
        self._confirmation.begin(given=confirmed)
        self._finished = self.refining.refined(finished)
        if self._waiting:
            # Its refinement may have begun since, and begins anew.
            self.refining.forget(self._finished[-1])
        self._rest_before, self._hidden, self._let_go.fallen = state[4:7]
        self._over_since_s = None
        self._start.restore(state.start)
        self._publish()

    def feed(
        self,
        t_s: Seconds,
        probability: float,
        flow_gps: GramsPerSecond,
        rise_gps2: float,
        mass_g: Grams,
    ) -> None:
        """A good reading at ``t_s``, and what the filter makes of it: ``flow_gps`` is the flow,
        were this a pour, which changes by ``rise_gps2``, and ``mass_g`` the unbroken weight."""
        if self._open is None:
            self._start.see(t_s, probability, flow_gps, rise_gps2, mass_g)
            self._at_rest(t_s, mass_g)
        elif probability < OVER_PROBABILITY:
            if self._over_since_s is None:
                self._over_since_s = t_s
            if t_s - self._over_since_s >= OVER_FOR_S:
                self.end(t_s, mass_g)
        else:
            if self._hidden is not None and self._hidden.outlasted_at(t_s):
                self._part(self._open, self._hidden, t_s, mass_g)
            self._over_since_s = None
            confirmation = self._confirmation
            if not confirmation.given and confirmation.see(
                self._open, t_s, probability, flow_gps, mass_g
            ):
                self._place_start(self._start.bend(t_s, self._ended_s, self._open.start_s))

    def rested(self, t_s: Seconds, mass_g: Grams) -> None:
        """The platform is quiet, and the unbroken weight is ``mass_g``."""
        if self._start.likely_since_s is None:
            self._rest = t_s, mass_g
        if not self._open and (risen := self._let_go.rose(self._finished, t_s, mass_g)):
            self._finished, self._waiting = self.refining.refined(risen), False
            self._publish()

    def touched(self, t_s: Seconds) -> None:
        """A reading at ``t_s`` says nothing about the weight."""
        self._start.touched(t_s)

    def hidden(self, from_s: Seconds, to_s: Seconds, from_g: Grams, to_g: Grams) -> None:
        """Between these moments nothing was seen, and water has brought the weight from one level
        to the other."""
        rose_g = to_g - from_g
        if rose_g < LEAST_POUR_G:
            return
        # Of a brewer that is held the scale weighs what drips from it, and not what is poured.
        self._record.leave_out(from_s, to_s)
        hidden = Hidden(from_s, to_s, from_g, rose_g, opens=self._open is None)
        if hidden.opens:
            if self._finished and hidden.follows(self._finished[-1]):
                self._rejoin(self._finished[-1])
                hidden = hidden._replace(opens=False)
            else:
                self.refine(from_s)
                self._open = Pour(start_s=from_s, start_g=from_g)
                self._rest_before = self._rest
        self._confirmation.begin(given=True)
        assert self._open is not None
        self._open = replace(self._open, unseen_g=self._open.unseen_g + rose_g)
        self._hidden = hidden
        self._publish()

    def retract(self, t_s: Seconds, mass_g: Grams, pressed_s: Seconds | None = None) -> None:
        """The weight has come down to ``mass_g`` and stays: water does not leave the platform, so
        whatever lay above was a hand's. ``pressed_s`` as for ``LetGo.fell``."""
        self._start.let_go(mass_g)
        self.refine(t_s)
        if self._open is not None:
            self._finished.append(replace(self._open, end_s=self._record.last_s, end_g=math.inf))
        self._open, self._hidden, self._rest = None, None, (t_s, mass_g)
        left = self._let_go.fell(self._finished, t_s, mass_g, pressed_s)
        self._finished = self.refining.refined(left)
        self._publish()

    def end(self, t_s: Seconds, mass_g: Grams) -> None:
        """End the open pour, if there is one, where the rise bends into rest."""
        if self._open is None:
            return
        pour, self._open, self._over_since_s = self._open, None, None
        hidden, self._hidden = self._hidden, None
        stop = fit_stop(*self._record.between(max(pour.start_s, t_s - LOOK_BACK_S), t_s))
        end_s = min(stop.t_s + HALF_RAMP_DOWN_S, t_s) if stop else t_s
        end_g = stop.level_g if stop else mass_g
        if hidden is not None and hidden.ends_in(end_s):
            unseen = begun_unseen(ended_hidden(pour, hidden, mass_g), self._rest_before)
            if unseen.mass_g is not None and unseen.mass_g >= LEAST_POUR_G:
                self._finished.append(unseen)
            self._publish()
            return
        if hidden is not None and hidden.opens:
            seen_g, seen_s = end_g - pour.start_g - hidden.rose_g, end_s - hidden.to_s
            pour = began_hidden(pour, hidden, seen_g / seen_s)
        last = self._finished[-1] if self._finished else None
        mass_g, lasted_s = end_g - risen_from(pour, self._rest_before, last), end_s - pour.start_s
        sure = self._confirmation.given or mass_g > STAYED_G
        if sure and mass_g >= LEAST_POUR_G and not pushed(mass_g, lasted_s):
            mean_flow = mass_g / lasted_s
            self._finished.append(replace(pour, end_s=end_s, end_g=end_g, mean_flow_gps=mean_flow))
            self._waiting, self._rest = True, (end_s, end_g)
        self._publish()

    def refine(self, still_to_s: Seconds) -> None:
        """Begin to refine the pour that waits for it; rest lasted until ``still_to_s``."""
        if not self._waiting:
            return
        before_s = self._finished[-2].end_s if len(self._finished) > 1 else None
        still_s = (-math.inf if before_s is None else before_s, still_to_s)
        live = self._finished[-1]
        refinement = Refinement(live, self._record, self._traits, still_s)
        self.refining.add(refinement, self._rest_before)
        self._waiting = False

    def refine_on(self) -> None:
        """Work on the oldest refinement for a slice; what it gives takes the live pour's place, if
        that still stands."""
        done = self.refining.step()
        if done is not None and any(pour is done[0] for pour in self._finished):
            self._finished = self.refining.refined(self._finished, self._open)
            self._publish()

    def refine_all(self) -> Iterator[None]:
        """Do all that is left of it, a slice between one yield and the next."""
        while self.refining.busy:
            self.refine_on()
            yield

    def _at_rest(self, t_s: Seconds, mass_g: Grams) -> None:
        """Nothing is open: look for a start, refine what has rested long enough."""
        likely_since_s = self._start.likely_since_s
        if likely_since_s is None:
            if not self._waiting:
                self._record.forget(t_s - 2.0 * STILL_SIDE_S)
            elif t_s >= (self._finished[-1].end_s or 0.0) + STILL_SIDE_S:
                self.refine(t_s)
            return
        last = self._let_go.whole(self._finished)
        if last is not None and likely_since_s - (last.end_s or 0.0) < REJOIN_S:
            rose_g = mass_g - (last.end_g or 0.0)
            if t_s - likely_since_s >= LIKELY_FOR_S and rose_g > REJOIN_G:
                self._rejoin(last)
        elif not sloshes(t_s, likely_since_s, mass_g, last) and self._start.has_begun(
            t_s, mass_g, self._ended_s
        ):
            rise = self._start.bend(t_s, self._ended_s)
            if last and rise and rise.t_s - (last.end_s or 0.0) < REJOIN_S:
                self._rejoin(last)
                return
            self.refine(likely_since_s)
            self._rest_before = self._rest
            from_g = self._record.between(likely_since_s, t_s)[1][0]
            self._open = Pour(start_s=likely_since_s, start_g=from_g)
            self._confirmation.begin(given=False)
            self._place_start(rise)

    def _part(self, pour: Pour, hidden: Hidden, t_s: Seconds, mass_g: Grams) -> None:
        """What was open before the stretch may have ended in it, and another one begun."""
        self._hidden = None
        two = parted(pour, hidden, t_s, mass_g)
        if two is not None:
            ended, self._open, self._hidden = two
            self._finished.append(ended)
            self._rest_before = None
            self._publish()

    def _rejoin(self, last: Pour) -> None:
        """Open the last pour again, since the flow only dipped."""
        self._finished.pop()
        self._waiting, self._let_go.fallen = False, None
        self._open = Pour(start_s=last.start_s, start_g=last.start_g, unseen_g=last.unseen_g)
        self._confirmation.begin(given=True)
        self._publish()

    @property
    def _ended_s(self) -> Seconds:
        """When the last pour ended."""
        end_s = self._finished[-1].end_s if self._finished else None
        return -math.inf if end_s is None else end_s

    def _place_start(self, rise: Hinge | None) -> None:
        """Place the start of the open pour where rest bends into the rise, if that can be seen."""
        if rise is not None:
            start_s = max(rise.t_s - HALF_RAMP_UP_S, self._ended_s)
            self._open = Pour(start_s=start_s, start_g=rise.level_g)
            self._finished = self._let_go.began(self._finished, self._open)
        self._publish()

    def _publish(self) -> None:
        self.pours = (*self._finished, *([] if self._open is None else [self._open]))
