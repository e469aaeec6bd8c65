"""The one thing to do now, from a closed list: ranked, with hysteresis, never two at once."""

from collections.abc import Mapping
from math import inf

from pourcoach.coaching.course.bounds import is_bloom
from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.cues.corrections import LEAVE_S, Corrections
from pourcoach.coaching.cues.stopping import Said, Stopping
from pourcoach.coaching.flags.flow import FlowWatch
from pourcoach.coaching.flow.pacing import Pacing
from pourcoach.coaching.platform.silences import Silences
from pourcoach.domain.advice import USUAL_STATE, Cue, CueState, Word, usual_cue
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.inputs import Input
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Stage
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.units import GramsPerSecond, Seconds

HEEDED_S: Seconds = 6.0
"""Water that came too early and has run so long will not be stopped any more: the plan follows the
brewer from then on (common practice)."""

_BASE: Mapping[Phase, Word] = {
    Phase.READY: Word.READY,
    Phase.POURING: Word.POUR,
    Phase.WAITING: Word.WAIT,
    Phase.DRAINING: Word.DRAIN,
    Phase.DONE: Word.DONE,
}
_WHILE_POURING = frozenset((Word.BLOOM, Word.POUR, Word.MORE, Word.SLOW, Word.STEADY, Word.STOP))
_NONE: Mapping[str, float] = {}
# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_POURING, _DONE, _DUE = Phase.POURING, Phase.DONE, CueState.DUE


class Cues:
    """Chooses the cue for every moment."""

    def __init__(self, stopping: Stopping, pacing: Pacing, limits: FlagLimits) -> None:
        self._stopping = stopping
        self._pacing = pacing
        self._corrections = Corrections(pacing, limits)
        self._silences = Silences()
        self._last_s: Seconds = 0.0
        self._cue = usual_cue(Word.READY, 0.0)
        self._stopped: tuple[Poured, Seconds] | None = None
        """What STOP was last said to, and since when."""
        self._water_s: Seconds = -inf

    def feed(
        self,
        item: Input,
        estimate: Estimate,
        state: PourState,
        newest: Poured | None,
        watch: FlowWatch,
    ) -> Cue:
        """Return the cue in force after this input."""
        t_s = item.t_s
        silent_s = self._silences.feed(item)
        if estimate.pouring:
            self._water_s = t_s
        if state.phase is _DONE:
            cue = usual_cue(Word.DONE, t_s)
        elif silent_s is not None:
            self._stop_in_silence(t_s, estimate, state, newest)
            self._corrections.rest()
            cue = usual_cue(Word.SCALE, t_s)._replace(basis={"silent_s": silent_s})
        elif state.question is not None:
            self._corrections.rest()
            cue = Cue(Word.SCALE, t_s, CueState.DUE)
        elif state.phase is _POURING and newest is not None:
            cue = self._pouring(t_s, estimate, state, newest, watch)
        elif self._may_run_on(t_s):
            took_over = self._took_over(t_s)
            cue = self._cue._replace(stop_due_s=None)
            if took_over is not None:
                cue = usual_cue(Word.STOP, took_over)
        else:
            self._corrections.rest()
            cue = self._resting(t_s, state)
        self._last_s = t_s
        return self._say(cue)

    def done(self, t_s: Seconds) -> Cue:
        """Return the cue once the input has ended."""
        return self._say(usual_cue(Word.DONE, t_s))

    def _say(self, cue: Cue) -> Cue:
        """A cue that only goes on keeps its beginning and what it was based on. One that becomes
        pressing while its word stays is said anew.
        """
        before = self._cue
        pressing = cue.state is _DUE and before.state is not _DUE
        if cue.word is before.word and not pressing:
            if cue.state is before.state and cue.stop_due_s == before.stop_due_s:
                return before
            cue = Cue(cue.word, before.since_s, cue.state, before.basis, cue.stop_due_s)
        self._cue = cue
        return cue

    def _resting(self, t_s: Seconds, state: PourState) -> Cue:
        """Before the brew, between its stages, and while the bed drains."""
        if state.phase is Phase.READY and not state.armed:
            return usual_cue(Word.TARE, t_s)
        wait_s = inf if state.countdown_s is None else state.countdown_s
        if state.phase is Phase.WAITING and wait_s <= self._stopping.answer_s:
            # Said ahead, so that the water comes when it is due.
            late = state.overdue_s is not None
            return Cue(Word.POUR, t_s, CueState.DUE if late else CueState.ON_TARGET)
        return usual_cue(_BASE[state.phase], t_s)

    def _pouring(
        self,
        t_s: Seconds,
        estimate: Estimate,
        state: PourState,
        newest: Poured,
        watch: FlowWatch,
    ) -> Cue:
        plan, stage = state.plan, state.stage
        if plan is None:
            return usual_cue(Word.POUR, t_s)
        if stage is None:
            return usual_cue(Word.STOP, t_s)._replace(basis={"water_g": state.water_g})
        running = newest.stage.pours[-1].end_s is None
        flow_gps = self._stopping.flow_gps(estimate, self._pacing.flow)
        due_s: Seconds | None = None
        if running:
            if self._is_stopped(newest):
                return usual_cue(Word.STOP, t_s)
            due_s = self._stopping.due_s(estimate, state.water_g, stage.to_g, self._pacing.flow)
            took_over = self._took_over(t_s)
            if took_over is not None:
                due_s = took_over
            if due_s is not None and due_s <= t_s:
                at_s = max(due_s, self._last_s)
                return self._stop(at_s, estimate, state.water_g, newest, stage, flow_gps)
        if state.early_s is not None:
            early = self._too_early(t_s, state.early_s, newest, due_s)
            if early is not None:
                return early
        left_s = inf if due_s is None else due_s - t_s
        recent = self._pacing.since_correction
        corrections = self._corrections
        corrections.feed(
            t_s,
            state,
            stage,
            watch,
            left_s,
            running=running,
            touched=estimate.disturbance is not None,
        )
        if corrections.word is not None:
            basis = {
                "off_g": state.off_g or 0.0,
                "band_g": state.band_g or 0.0,
                "flow_gps": recent.mean_gps,
                "wander_cv": recent.cv,
            }
            return Cue(corrections.word, corrections.since_s, corrections.state, basis, due_s)
        word = Word.BLOOM if newest.index == 0 and is_bloom(plan, 0) else Word.POUR
        return Cue(word, t_s, corrections.state, _NONE, due_s)

    def _too_early(
        self, t_s: Seconds, early_s: Seconds, newest: Poured, due_s: Seconds | None
    ) -> Cue | None:
        """WAIT for water that came before its time: due while it runs, calm once it has stopped;
        and POUR once its time has come.

        None if the brewer pours on regardless, or goes on in time.
        """
        pour = newest.stage.pours[-1]
        if pour.end_s is not None:
            self._corrections.rest()
            waits = early_s > self._stopping.answer_s
            return usual_cue(Word.WAIT if waits else Word.POUR, t_s)
        if early_s <= self._stopping.answer_s:
            return None
        if t_s - pour.start_s > HEEDED_S:
            return None
        return Cue(Word.WAIT, t_s, CueState.DUE, {"early_s": early_s}, due_s)

    def _stop_in_silence(
        self, t_s: Seconds, estimate: Estimate, state: PourState, newest: Poured | None
    ) -> None:
        """A STOP that took over while no reading came was said."""
        took_over = self._took_over(t_s)
        if took_over is not None and newest is not None and state.stage is not None:
            flow_gps = self._stopping.flow_gps(estimate, self._pacing.flow)
            self._stop(took_over, estimate, state.water_g, newest, state.stage, flow_gps)

    def _stop(
        self,
        at_s: Seconds,
        estimate: Estimate,
        water_g: float,
        newest: Poured,
        stage: Stage,
        flow_gps: GramsPerSecond,
    ) -> Cue:
        """Say STOP from ``at_s`` on."""
        self._stopped = newest, at_s
        self._stopping.say(Said(at_s, newest.index, stage.to_g, flow_gps))
        self._corrections.rest()
        basis = {
            "water_g": water_g,
            "mark_g": stage.to_g,
            "flow_gps": flow_gps,
            "flow_error_gps": estimate.flow_error_gps,
            "lead_s": self._stopping.reaction_s,
        }
        return Cue(Word.STOP, at_s, USUAL_STATE[Word.STOP], basis)

    def _is_stopped(self, newest: Poured) -> bool:
        """Whether STOP was said to the pour that runs; it stays until the water stops. One that has
        begun since may be the first again, where what came before was no water."""
        if self._stopped is None:
            return False
        said, at_s = self._stopped
        same = said.index == newest.index and said.first == newest.first
        return same and newest.stage.pours[-1].start_s < at_s

    def _took_over(self, t_s: Seconds) -> Seconds | None:
        """When STOP took over since the last input, if it did: what has been shown stays."""
        due_s = self._cue.stop_due_s
        return due_s if due_s is not None and due_s <= t_s else None

    def _may_run_on(self, t_s: Seconds) -> bool:
        """Whether the water has only just ended, if it has: a flow that drops all at once may look
        like its end for a moment.
        """
        return self._cue.word in _WHILE_POURING and t_s - self._water_s < LEAVE_S
