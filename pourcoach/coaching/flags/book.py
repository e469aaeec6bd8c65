"""Keeps all flags of a brew: as reported live, and replaced in hindsight."""

from collections.abc import Sequence

from pourcoach.coaching.course.stage_log import StageLog
from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.asked import without_asked
from pourcoach.coaching.flags.drain import drain_flag
from pourcoach.coaching.flags.flow import FlowWatch, verdict_flags
from pourcoach.coaching.flags.hands import with_hands
from pourcoach.coaching.flags.landing import landing_flag
from pourcoach.coaching.flags.lifted import judged_despite, lifted_flags, without_lifts
from pourcoach.coaching.flags.pace import pace_flag
from pourcoach.coaching.flags.platform import PlatformWatch, with_first_gap, with_whole_touches
from pourcoach.coaching.flags.timing import timing_flag
from pourcoach.coaching.flags.unclear import without_known
from pourcoach.coaching.flags.unseen import with_unseen
from pourcoach.coaching.flow.hindsight import FlowVerdict
from pourcoach.coaching.flow.trace import Sample
from pourcoach.domain.advice import Flag
from pourcoach.domain.estimate import Estimate, PlatformEvent
from pourcoach.domain.inputs import Input
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.units import Seconds

# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_POURING, _DONE = Phase.POURING, Phase.DONE


class FlagBook:
    """The flags as of now. Those of whole stages are judged again when a stage changes, so that
    hindsight replaces what was reported live."""

    def __init__(self, limits: FlagLimits) -> None:
        self._limits = limits
        self.flow = FlowWatch(limits)
        self._platform = PlatformWatch(limits)
        self._poured: tuple[Poured, ...] = ()
        self._phase = Phase.READY
        self._doubted = False
        self._plan: Plan | None = None
        self._events: tuple[PlatformEvent, ...] = ()
        self._stage_flags: list[Flag] = []
        self.flags: tuple[Flag, ...] = ()
        """All flags so far, oldest first; the same tuple until one comes or changes."""

    def feed(
        self,
        item: Input,
        estimate: Estimate,
        samples: Sequence[Sample],
        log: StageLog,
        state: PourState,
        *,
        lifted: bool,
    ) -> None:
        """Take one input, its Estimate and settled values, and the state after it. ``lifted``:
        something heavy has been taken off the scale and is not back."""
        phase, poured = state.phase, log.poured
        if poured:
            newest = poured[-1]
            stage, brewing = newest.stage.stage, phase is not _DONE
            changed = self._platform.feed(item, estimate, stage, brewing=brewing, lifted=lifted)
            if phase is not _POURING or (state.early_s or 0.0) > 0.0:
                # Who began too early is asked to wait.
                self.flow.rest()
            elif not self._doubted:
                planned_gps = None if state.stage is None else state.stage.flow_gps
                for sample in samples:
                    changed |= self.flow.feed(sample, newest, planned_gps)
        else:
            self._platform.forget()
            self.flow.flags = {}
            changed = self._platform.feed(item, estimate, None, brewing=False, lifted=lifted)
            self.flow.rest()
        if estimate.events is not self._events:
            self._events, changed = estimate.events, True
        if self._is_stale(log, state):
            self._look(item.t_s, log, state)
        elif changed:
            self._collect()

    def close(self, t_s: Seconds, estimate: Estimate, log: StageLog, state: PourState) -> None:
        """End the input: judge what is left."""
        self._events = estimate.events
        if self._is_stale(log, state):
            self._look(t_s, log, state)
        else:
            self._collect()

    def _is_stale(self, log: StageLog, state: PourState) -> bool:
        """Whether a stage has changed since they were judged, or what they are judged by."""
        same = log.poured is self._poured and state.phase is self._phase
        return not same or (state.looks_like is not None) is not self._doubted

    def _look(self, t_s: Seconds, log: StageLog, state: PourState) -> None:
        """Judge all stages again."""
        doubted = state.looks_like is not None
        done = state.phase is Phase.DONE and self._phase is not Phase.DONE
        self._poured, self._phase = log.poured, state.phase
        self._plan = None if log.course is None else log.course.current
        if done and state.end_s is not None:
            self._platform.forget_from(state.end_s)
        self._doubted, self._stage_flags = doubted, []
        if doubted:
            # What drips is not poured: nothing in it is the brewer's fault.
            self.flow.flags = {}
            self._collect()
            return
        self.flow.keep(log.stages)
        for poured in self._poured:
            self._stage_flags += self._judge(poured, t_s, log, state)
        course = log.course
        if state.phase is Phase.DONE and course is not None:
            planned_s = max(course.original.finish_s, course.current.finish_s)
            drain = drain_flag(state, planned_s, self._limits, weighed=False)
            self._stage_flags += [drain] if drain is not None else []
        self._collect()

    def _judge(self, poured: Poured, t_s: Seconds, log: StageLog, state: PourState) -> list[Flag]:
        flags: list[Flag] = []
        verdict: FlowVerdict | None = log.verdict(poured)
        if verdict is not None:
            self.flow.drop(poured.stage)
            flags += verdict_flags(poured, verdict, self._limits)
        course, brew_start_s = log.course, state.brew_start_s
        if course is not None and brew_start_s is not None:
            over = log.over(poured)
            landing = landing_flag(poured, course, state.water_g, t_s, over=over)
            timing = timing_flag(poured, course, brew_start_s, state.water_g, t_s)
            pace = None if verdict is None else pace_flag(poured, course, verdict)
            flags += [flag for flag in (landing, timing, pace) if flag is not None]
        return flags

    def _collect(self) -> None:
        live = self.flow.flags.values()
        platform, stages = self._platform.flags, self._stage_flags
        if self._poured:
            lifts = lifted_flags(self._events, self._poured, self._poured[0].stage.start_s)
            platform = [*without_lifts(platform, lifts), *lifts]
            first = self._poured[0].stage
            platform = with_first_gap(platform, self._events, first, self._limits)
            stages = judged_despite(stages, lifts, self._poured)
        if self._plan is not None:
            platform = without_asked(platform, self._poured, self._plan)
        platform = with_whole_touches(platform, self._events)
        stages = without_known(stages, platform)
        together = with_unseen([*stages, *platform, *live], self._poured)
        together = with_hands(together, self._events, self._poured)
        self.flags = tuple(sorted(together, key=lambda flag: flag.start_s))
