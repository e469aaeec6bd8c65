"""The one thing to do now, from a closed list: ranked, with hysteresis, never two at once."""

from collections.abc import Mapping
from math import inf

from pourcoach.coaching.bounds import is_bloom
from pourcoach.coaching.flags.flow import FlowWatch
from pourcoach.coaching.silences import Silences
from pourcoach.coaching.stages import Poured
from pourcoach.coaching.stopping import Said, Stopping
from pourcoach.domain.advice import Cue, Word
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.inputs import Input
from pourcoach.domain.plan import Stage
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

# Common practice; no published source. A word must be worth looking up for, and must stay long
# enough to be read and answered.
ENTER_S: Seconds = 0.6
LEAVE_S: Seconds = 0.3
HOLD_S: Seconds = 1.5
INSIDE = 0.8
"""Share of the band that the pour must be back within before a correction is taken back."""
SLOW_ENOUGH, QUICK_ENOUGH = 0.9, 1.1
"""Of the planned flow: a pour ahead that is slower, or behind that is quicker, comes back by
itself."""
TOO_LATE_S: Seconds = 1.2
"""So near to STOP a correction changes nothing any more."""
ANSWER_S: Seconds = 4.0
"""A flow that changes so soon after SLOW or MORE is the answer to it, not an unsteady hand."""
UNSTEADY = 0.9
"""Times the limit of unevenness from which STEADY is said while water runs: a little before it is
a fault, since what is said comes late and only the rest of the pour can be mended."""

_BASE: Mapping[Phase, Word] = {
    Phase.READY: Word.READY,
    Phase.POURING: Word.POUR,
    Phase.WAITING: Word.WAIT,
    Phase.DRAINING: Word.DRAIN,
    Phase.DONE: Word.DONE,
}
_NONE: Mapping[str, float] = {}


class Cues:
    """Chooses the word for every moment."""

    def __init__(self, stopping: Stopping, uneven_cv: float) -> None:
        self._stopping = stopping
        self._unsteady_cv = UNSTEADY * uneven_cv
        self._silences = Silences()
        self._last_s: Seconds = 0.0
        self._cue = Cue(Word.READY, 0.0)
        self._correction: Word | None = None
        self._correction_s: Seconds = 0.0
        self._calm_s: Seconds | None = None
        self._pace_told_s: Seconds = -inf
        self._asked: Word | None = None
        self._asked_s: Seconds = 0.0
        self._stopped: Poured | None = None

    def feed(
        self,
        item: Input,
        estimate: Estimate,
        state: PourState,
        newest: Poured | None,
        watch: FlowWatch,
    ) -> Cue:
        """The cue in force after this input."""
        t_s = item.t_s
        silent_s = self._silences.feed(item)
        running = newest is not None and newest.stage.end_s is None
        due_s: Seconds | None = None
        since_s, basis = t_s, _NONE
        word = _BASE[state.phase]
        if state.phase is Phase.DONE:
            pass
        elif silent_s is not None:
            word = Word.SCALE
            basis = {"silent_s": silent_s}
        elif state.phase is Phase.POURING and newest is not None:
            word, since_s, basis, due_s = self._pouring(
                t_s, estimate, state, newest, watch, running=running
            )
        else:
            self._calm_down()
            if state.phase is Phase.WAITING and state.countdown_s == 0.0 and state.plan:
                word = Word.POUR
        self._last_s = t_s
        if word is not self._cue.word:
            self._cue = Cue(word, since_s, basis, due_s)
        elif due_s != self._cue.stop_due_s:
            self._cue = Cue(word, self._cue.since_s, self._cue.basis, due_s)
        return self._cue

    def done(self, t_s: Seconds) -> Cue:
        """The cue once the input has ended."""
        if self._cue.word is not Word.DONE:
            self._cue = Cue(Word.DONE, t_s)
        return self._cue

    def _pouring(
        self,
        t_s: Seconds,
        estimate: Estimate,
        state: PourState,
        newest: Poured,
        watch: FlowWatch,
        *,
        running: bool,
    ) -> tuple[Word, Seconds, Mapping[str, float], Seconds | None]:
        plan, stage = state.plan, state.stage
        if plan is None:
            return Word.POUR, t_s, _NONE, None
        if stage is None:
            return Word.STOP, t_s, {"water_g": state.water_g}, None
        flow_gps = self._stopping.flow_gps(estimate, watch.recent_gps)
        due_s: Seconds | None = None
        if running:
            if self._is_stopped(newest):
                return Word.STOP, t_s, _NONE, None
            due_s = self._stopping.due_s(estimate, state.water_g, stage.to_g, flow_gps)
            if due_s is not None and due_s <= t_s:
                at_s = max(due_s, self._last_s)
                basis = self._stop(at_s, estimate, state.water_g, newest, stage, flow_gps)
                return Word.STOP, at_s, basis, None
        left_s = inf if due_s is None else due_s - t_s
        asked = None
        if left_s > TOO_LATE_S:
            pace = flow_gps / stage.flow_gps if running else 0.0
            asked = self._ask(t_s, state, watch, pace)
        self._weigh(t_s, asked)
        if self._correction is not None:
            basis = {
                "off_g": state.off_g or 0.0,
                "band_g": state.band_g or 0.0,
                "flow_gps": flow_gps,
                "wander_cv": watch.wander_cv,
            }
            return self._correction, self._correction_s, basis, due_s
        word = Word.BLOOM if newest.index == 0 and is_bloom(plan, 0) else Word.POUR
        return word, t_s, _NONE, due_s

    def _stop(
        self,
        at_s: Seconds,
        estimate: Estimate,
        water_g: Grams,
        newest: Poured,
        stage: Stage,
        flow_gps: GramsPerSecond,
    ) -> Mapping[str, float]:
        """Say STOP from ``at_s`` on; what it is based on."""
        self._stopped = newest
        self._stopping.say(Said(at_s, newest.index, stage.to_g, flow_gps))
        self._calm_down()
        return {
            "water_g": water_g,
            "mark_g": stage.to_g,
            "flow_gps": flow_gps,
            "flow_error_gps": estimate.flow_error_gps,
            "lead_s": self._stopping.reaction_s,
        }

    def _is_stopped(self, newest: Poured) -> bool:
        """Whether STOP was said to the pour that runs; it stays until the water stops."""
        said = self._stopped
        if said is None:
            return False
        same = said.index == newest.index and len(said.stage.pours) == len(newest.stage.pours)
        return same and said.first == newest.first

    def _ask(self, t_s: Seconds, state: PourState, watch: FlowWatch, pace: float) -> Word | None:
        """The correction that the moment asks for, by rank: too much cannot be undone, too little
        can. ``pace`` is the flow over the planned one; 0 where no water runs.

        Once the flow has turned enough to bring the pour back, no more is asked: a hand pushed
        until the weight is right again has long overshot the pace.
        """
        off_g, band_g = state.off_g or 0.0, state.band_g or inf
        in_force = self._correction
        if pace > 0.0:
            over_g = band_g * (INSIDE if in_force is Word.SLOW else 1.0)
            if watch.surging or (off_g > over_g and pace > SLOW_ENOUGH):
                return Word.SLOW
            if in_force in (Word.SLOW, Word.MORE):
                self._pace_told_s = t_s
            calmer = INSIDE if in_force is Word.STEADY else 1.0
            answering = t_s - self._pace_told_s < ANSWER_S
            if not answering and watch.wander_cv > self._unsteady_cv * calmer:
                return Word.STEADY
        under_g = band_g * (INSIDE if in_force is Word.MORE else 1.0)
        if pace == 0.0 or watch.stalled or (off_g < -under_g and pace < QUICK_ENOUGH):
            return Word.MORE
        return None

    def _weigh(self, t_s: Seconds, asked: Word | None) -> None:
        """Let a correction in after a while, keep it a while, and let it go after a while."""
        if asked is not self._asked:
            self._asked, self._asked_s = asked, t_s
        in_force = self._correction
        if asked is in_force:
            self._calm_s = None
            return
        if in_force is not None and t_s - self._correction_s < HOLD_S:
            return
        if asked is not None:
            if t_s - self._asked_s >= ENTER_S:
                self._correction, self._correction_s, self._calm_s = asked, t_s, None
        elif self._calm_s is None:
            self._calm_s = t_s
        elif t_s - self._calm_s >= LEAVE_S:
            self._correction = self._calm_s = None

    def _calm_down(self) -> None:
        self._correction = self._calm_s = self._asked = None
