"""The coaching half of the fold: one Frame for each Estimate.

Words and flags are chosen at most 20 times a second, as often as a settled flow comes. A fast scale
sends several readings meanwhile, and each updates only the weight and the clocks. Near the moment
when STOP is due, and whenever something happens, every input is examined. All of this depends on
the inputs' own times, so that live equals replay.
"""

from pourcoach.coaching.between_looks import BetweenLooks
from pourcoach.coaching.dripped_brew import DrippedBrew
from pourcoach.coaching.flags.risk import LOW, risk_of
from pourcoach.coaching.key_log import KeyLog
from pourcoach.coaching.poured_brew import PouredBrew
from pourcoach.domain.advice import Cue, Flag
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Begin, Input, Reading, Silence, Tare
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds

EVERY_S: Seconds = 0.045
"""A reading so soon after the last that was examined may wait: about the time between two settled
values."""
SELDOM_S: Seconds = 0.5
"""The same while the platform rests before the brew, between pours, while the bed drains and
afterwards, when no word is urgent."""
SOON_S: Seconds = 2.0
"""So shortly before the next pour the shorter time holds, since POUR is said ahead of it."""
# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_WAITING, _DONE = Phase.WAITING, Phase.DONE
_SELDOM = (Phase.READY, Phase.DRAINING, Phase.DONE)
PAUSE_S: Seconds = 0.2
"""Readings so far apart may be the edges of a pause, which counts from the last before it."""
NEAR_STOP_S: Seconds = 0.1
"""No reading waits so shortly before STOP is due: twice the time that one may wait."""


class Coach:
    """The coaching half of the fold. Equal inputs and estimates give equal Frames."""

    def __init__(self, plan: Plan | None, setup: Setup) -> None:
        self._brew: PouredBrew | DrippedBrew
        if setup.arrangement is Arrangement.SERVER_ON_SCALE:
            self._brew = DrippedBrew(plan)
        else:
            self._brew = PouredBrew(plan, setup)
        self._flags: tuple[Flag, ...] = ()
        self._risk = LOW
        self._keys = KeyLog()
        self.answers = 0
        """How many questions the brewer has answered."""
        self._done = False
        self._weighed = False
        """Whether a reading has come."""
        self._frame: Frame | None = None
        self._between: BetweenLooks | None = None
        """Since the last input that was examined."""
        self._waiting: Reading | None = None
        """The newest reading, if it was not examined."""

    def feed(self, item: Input, estimate: Estimate) -> Frame:
        """Take the next input with its Estimate and return its Frame. Its ``t_s`` must not lie
        before the last one's."""
        if isinstance(item, Reading):
            self._weighed = True
            if self._between is not None:
                frame = self._between.frame(item.t_s, estimate)
                if frame is not None:
                    self._waiting, self._frame = item, frame
                    return frame
        elif isinstance(item, Tare) and not self._weighed:
            # Nothing is known yet that could count as zero: what stands there was not tared.
            item = Silence(item.t_s)
        self._catch_up(item)
        if not isinstance(item, Reading):
            self._keys.feed(item, estimate.taken_back, done=self._done)
            asked = self._frame is not None and self._frame.pour.question is not None
            if asked and isinstance(item, Begin | Tare):
                self.answers += 1
        state, cue = self._brew.feed(item, estimate)
        waits = state.phase is _WAITING and (state.countdown_s or 0.0) > SOON_S
        rests = estimate.flow_gps == 0.0 and (waits or state.phase in _SELDOM)
        due_s = item.t_s  # What comes after a silence ends it, whatever it shows.
        if isinstance(item, Reading):
            due_s += SELDOM_S if rests else EVERY_S
        if cue.stop_due_s is not None:
            due_s = min(due_s, cue.stop_due_s - NEAR_STOP_S)
        frame = self._framed(item.t_s, estimate, state, cue)
        self._between = BetweenLooks(frame, due_s)
        return frame

    def close(self, estimate: Estimate) -> Frame:
        """End the input: judge what is left and return the last Frame. A brew that is not over ends
        here."""
        self._catch_up(None)
        last_s = 0.0 if self._frame is None else self._frame.t_s
        t_s = max(last_s, estimate.t_s)
        state, cue = self._brew.close(t_s, estimate)
        return self._framed(t_s, estimate, state, cue)

    def _catch_up(self, item: Input | None) -> None:
        """Look at the reading that waits, where this is not the next soon after it: nobody else
        knows of the last reading before a key or a silence."""
        waiting, self._waiting = self._waiting, None
        if waiting is None or self._frame is None:
            return
        if not isinstance(item, Reading) or item.t_s - waiting.t_s > PAUSE_S:
            self._brew.feed(waiting, self._frame.estimate)

    def _framed(self, t_s: Seconds, estimate: Estimate, state: PourState, cue: Cue) -> Frame:
        flags = self._brew.flags
        if flags is not self._flags:
            self._flags = flags
            self._risk = risk_of(flags)
        self._done = state.phase is _DONE
        self._frame = frame = Frame(
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
        return frame
