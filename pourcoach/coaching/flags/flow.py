"""Flags of the flow: stalls and surges as they happen, and all of them again in hindsight."""

from bisect import insort
from collections.abc import Sequence
from math import hypot, inf

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.confidence import LIKELY, SUREST, probability_above
from pourcoach.coaching.flags.leaning import is_within, leaning_flags
from pourcoach.coaching.flags.unclear import unclear_flags
from pourcoach.coaching.flow.excursions import Excursion
from pourcoach.coaching.flow.hindsight import EDGE_S, FlowVerdict, surge_from_gps
from pourcoach.coaching.flow.trace import Sample
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import StagePour
from pourcoach.domain.units import GramsPerSecond, Seconds

# Of how long a stall or a surge lasted: the settled flow blurs its edges, those of a surge more,
# since a hand that wanders comes near the limit. Of simulated hands of two kinds, whose true flow
# is known: 0.07 and 0.14 s rms.
STALL_ERROR_S: Seconds = 0.08
SURGE_ERROR_S: Seconds = 0.15
LEVEL_ERROR_SHARE = 0.05
"""Standard error of the level of a short stretch beside the noise, as a share of the usual flow."""
NO_DOUBT = 0.95
UNLIKELY = 0.05
"""An excursion less sure than this is the noise of the settled flow, and no flag."""
STANDS_OUT = 3.0
"""A stall or a surge this many standard deviations (of the flow outside it) off the usual flow is
more than how the pour wanders all along (common practice: three)."""
LIVE_STALL = 0.85
"""Confidence of a stall while the water has not resumed: it may turn out to be a stop."""
SEEN_LATE_S: Seconds = 0.1
"""How late the settled flow passes its limit when water stops or gushes."""
ROUNDING_S: Seconds = 1e-6
"""Readings often fall on a limit to the moment (9 periods of 0.1 s): no last bit may decide."""
LIVE_SURGE = 0.9
BLIP_S: Seconds = 0.15
"""A flow that is back for no longer has not recovered: one value in a tenth of a second may be
off."""
LEAST_FOR_MEDIAN = 20
"""About a second of flow; before that a surge is measured against the planned flow."""


class FlowWatch:
    """Stalls and surges of the stage being poured, reported live."""

    def __init__(self, limits: FlagLimits) -> None:
        self._limits = limits
        self.flags: dict[tuple[FlagKind, Seconds], Flag] = {}
        """Live flags by kind and beginning; those of a stage are dropped when it is judged."""
        self._pour_s: Seconds | None = None
        self._flows: list[GramsPerSecond] = []
        self._low_s: Seconds | None = None
        self._seen_low_s: Seconds = 0.0
        self._high_s: Seconds | None = None

    @property
    def stalled(self) -> bool:
        """Whether the pour is in a stall now."""
        return self._low_s is not None and (FlagKind.STALL, self._low_s) in self.flags

    @property
    def surging(self) -> bool:
        """Whether the pour is in a surge now."""
        return self._high_s is not None and (FlagKind.SURGE, self._high_s) in self.flags

    def rest(self) -> None:
        """Forget the pour: no stage is being poured."""
        self._low_s = self._high_s = self._pour_s = None

    def drop(self, stage: StagePour) -> None:
        """Forget the live flags of a stage that has been judged, and those of another that turned
        out to be part of it."""
        self.flags = {
            key: flag
            for key, flag in self.flags.items()
            if flag.stage != stage.stage and not _began_in(stage, flag)
        }

    def keep(self, stages: Sequence[StagePour]) -> None:
        """Forget the live flags of what is none of these stages: it was taken for water."""
        self.flags = {
            key: flag
            for key, flag in self.flags.items()
            if any(_began_in(stage, flag) for stage in stages)
        }

    def feed(self, sample: Sample, poured: Poured, planned_gps: GramsPerSecond | None) -> bool:
        """Take a settled value while a stage is being poured; return whether a flag came or
        changed."""
        pour = poured.stage.pours[-1]
        if sample.t_s < poured.stage.pours[0].start_s + EDGE_S:
            return False
        if pour.start_s != self._pour_s:
            if pour is poured.stage.pours[0]:
                self._flows = []
            self._pour_s = pour.start_s
        usual_gps = planned_gps
        if len(self._flows) >= LEAST_FOR_MEDIAN:
            usual_gps = self._flows[len(self._flows) // 2]
        changed = self._watch_low(sample, poured, planned_gps or usual_gps)
        if sample.t_s > pour.start_s + self._limits.ramp_up_s and pour.end_s is None:
            changed |= self._watch_high(sample, poured, usual_gps, planned_gps)
            if self._low_s is None:
                insort(self._flows, sample.flow_gps)
        return changed

    def _watch_low(self, sample: Sample, poured: Poured, usual_gps: GramsPerSecond | None) -> bool:
        if usual_gps is None:
            return False
        if sample.flow_gps >= self._limits.stall_share * usual_gps:
            if sample.t_s - self._seen_low_s > BLIP_S:
                self._low_s = None
            return False
        if self._low_s is None:
            self._low_s = sample.t_s
        self._seen_low_s = sample.t_s
        lasted_s = sample.t_s - self._low_s
        if lasted_s < self._limits.stall_s - SEEN_LATE_S - ROUNDING_S:
            return False
        self.flags[FlagKind.STALL, self._low_s] = Flag(
            FlagKind.STALL,
            self._low_s,
            sample.t_s,
            poured.stage.stage,
            LIVE_STALL,
            {"lasted_s": lasted_s, "lowest_gps": sample.flow_gps, "usual_gps": usual_gps},
        )
        return True

    def _watch_high(
        self,
        sample: Sample,
        poured: Poured,
        usual_gps: GramsPerSecond | None,
        planned_gps: GramsPerSecond | None,
    ) -> bool:
        if usual_gps is None:
            self._high_s = None
            return False
        limit_gps = surge_from_gps(self._limits, usual_gps, planned_gps)
        if sample.flow_gps <= limit_gps:
            # A gush that hangs about its limit goes on: its level is known no better.
            if sample.flow_gps <= (1.0 - LEVEL_ERROR_SHARE) * limit_gps:
                self._high_s = None
            return False
        if self._high_s is None:
            self._high_s = sample.t_s if sample.since_s is None else sample.since_s
        lasted_s = sample.t_s - self._high_s
        if lasted_s < self._limits.surge_s - SEEN_LATE_S - ROUNDING_S:
            return False
        before = self.flags.get((FlagKind.SURGE, self._high_s))
        highest = max(sample.flow_gps, before.evidence["highest_gps"] if before else 0.0)
        self.flags[FlagKind.SURGE, self._high_s] = Flag(
            FlagKind.SURGE,
            self._high_s,
            sample.t_s,
            poured.stage.stage,
            LIVE_SURGE,
            {"lasted_s": lasted_s, "highest_gps": highest, "usual_gps": usual_gps},
        )
        return True


def _began_in(stage: StagePour, flag: Flag) -> bool:
    return stage.start_s <= flag.start_s <= (inf if stage.end_s is None else stage.end_s)


def verdict_flags(poured: Poured, verdict: FlowVerdict, limits: FlagLimits) -> list[Flag]:
    """Return the flags of a finished stage. What a stall or a surge adds to unevenness is not
    reported again."""
    name, usual_gps = poured.stage.stage, verdict.usual_gps or 0.0
    leans = leaning_flags(verdict, name)
    excursions = (
        (one, _excursion_flag(kind, one, name, usual_gps, limits))
        for kind, found in ((FlagKind.STALL, verdict.stalls), (FlagKind.SURGE, verdict.surges))
        for one in found
        if not is_within(one, leans)
    )
    found = [(one, flag) for one, flag in excursions if flag.confidence >= UNLIKELY]
    unclear = unclear_flags(verdict, name, [*(flag for _, flag in found), *leans])
    return [*_with_evenness(poured, verdict, limits, found, leans), *unclear]


def _with_evenness(
    poured: Poured,
    verdict: FlowVerdict,
    limits: FlagLimits,
    found: list[tuple[Excursion, Flag]],
    leans: list[Flag],
) -> list[Flag]:
    """The flags of a stage, with that of its evenness if there is one."""
    stage, name = poured.stage, poured.stage.stage
    flags = [*(flag for _, flag in found), *leans]
    cv, least_cv = verdict.cv, verdict.least_cv
    if cv is None or least_cv is None:
        return flags
    error = verdict.cv_error or 0.0
    evidence = {"flow_cv": cv, "flow_cv_error": error, "allowed_cv": limits.uneven_cv}
    sure = probability_above(least_cv, limits.uneven_cv, error)
    least_sure = LIKELY
    if leans:
        least_sure = SUREST
    elif flags or verdict.hidden:
        least_sure = NO_DOUBT
    if sure < least_sure:
        # The edges of a stall or a surge may make the rest look uneven; those of a lean, more so.
        return flags
    # In a pour that wanders all along most peaks are unevenness, and so is a dip if it may be one.
    kept = [flag for one, flag in found if _is_more(one, flag)]
    assert stage.end_s is not None
    uneven = Flag(FlagKind.UNEVEN, stage.start_s, stage.end_s, name, sure, evidence, refined=True)
    return [uneven, *kept, *leans]


def _is_more(one: Excursion, flag: Flag) -> bool:
    """Whether it is a fault of its own in a pour that wanders all along."""
    sure_stall = flag.kind is FlagKind.STALL and flag.confidence >= NO_DOUBT
    return sure_stall or one.deviations >= STANDS_OUT


def _excursion_flag(
    kind: FlagKind, one: Excursion, stage: str, usual_gps: GramsPerSecond, limits: FlagLimits
) -> Flag:
    if kind is FlagKind.STALL:
        least_s, error_s, extreme = limits.stall_s, STALL_ERROR_S, "lowest_gps"
    else:
        least_s, error_s, extreme = limits.surge_s, SURGE_ERROR_S, "highest_gps"
    long_enough = probability_above(one.lasted_s, least_s, error_s)
    error_gps = hypot(one.error_gps, LEVEL_ERROR_SHARE * usual_gps)
    far_enough = probability_above(
        abs(one.level_gps - usual_gps), abs(one.limit_gps - usual_gps), error_gps
    )
    return Flag(
        kind,
        one.start_s,
        one.end_s,
        stage,
        long_enough * far_enough,
        {"lasted_s": one.lasted_s, extreme: one.extreme_gps, "usual_gps": usual_gps},
        refined=True,
    )
