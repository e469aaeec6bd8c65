"""From what the readings show to what is said: one Estimate in, one Frame out."""

from pourcoach.coaching.dripped_brew import DrippedBrew
from pourcoach.coaching.flags.risk import LOW, risk_of
from pourcoach.coaching.key_log import KeyLog
from pourcoach.coaching.poured_brew import PouredBrew
from pourcoach.domain.advice import Cue, Flag
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds


class Coach:
    """The coaching half of the fold. Equal inputs and estimates give equal Frames."""

    def __init__(self, plan: Plan | None, setup: Setup) -> None:
        self._brew: PouredBrew | DrippedBrew
        if setup.arrangement is Arrangement.SERVER_ON_SCALE:
            self._brew = DrippedBrew(plan)
        else:
            self._brew = PouredBrew(plan, setup)
        self._last_s: Seconds = 0.0
        self._flags: tuple[Flag, ...] = ()
        self._risk = LOW
        self._keys = KeyLog()
        self._done = False

    def feed(self, item: Input, estimate: Estimate) -> Frame:
        """Take the next input with its estimate. Its ``t_s`` must not lie before the last one's."""
        self._last_s = item.t_s
        self._keys.feed(item, estimate.taken_back, done=self._done)
        state, cue = self._brew.feed(item, estimate)
        return self._frame(item.t_s, estimate, state, cue)

    def close(self, estimate: Estimate) -> Frame:
        """The input has ended: judge what is left. A brew not over ends with the tape."""
        t_s = max(self._last_s, estimate.t_s)
        state, cue = self._brew.close(t_s, estimate)
        return self._frame(t_s, estimate, state, cue)

    def _frame(self, t_s: Seconds, estimate: Estimate, state: PourState, cue: Cue) -> Frame:
        flags = self._brew.flags
        if flags is not self._flags:
            self._flags = flags
            self._risk = risk_of(flags)
        self._done = state.phase is Phase.DONE
        return Frame(
            t_s,
            estimate,
            state,
            cue,
            flags,
            self._risk,
            self._brew.reaction_s,
            self._keys.moments,
            self._keys.last,
        )
