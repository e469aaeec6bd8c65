"""What was poured against what was planned, a row a stage, as text ready to be set in columns."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.frame import Frame
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.pour import Ending, PourState, StagePour, Unjudged
from pourcoach.domain.units import Seconds
from pourcoach.reports.brew.noted import NOT_THE_HAND
from pourcoach.wording import flag_title, seconds

NONE = "-"
UNJUDGED = {
    Unjudged.TOO_SHORT: "too short",
    Unjudged.HIDDEN: "hidden",
    Unjudged.NOISY: "too noisy",
}
"""In place of evenness: why it was not judged."""
HEADINGS = ("STAGE", "POURED TO", "PLAN", "START", "PLAN", "FLOW g/s", "EVEN?", "NOTE")
EXCUSES = frozenset((*NOT_THE_HAND, FlagKind.EARLY, FlagKind.BLOOM_SHORT))
"""With one of these a pause was no stall: it could not be seen, or WAIT was heeded."""
NUMBERS = frozenset(range(1, 6))
"""Columns that hold figures, to be set flush right."""
_ENDINGS = {
    Ending.RESTED: "",
    Ending.LIFTED: "Brewer lifted.",
    Ending.KEY: "Ended by key.",
    Ending.LEFT: "Closed, since nobody poured on.",
    Ending.TAPE: "The recording stops here.",
}


@dataclass(frozen=True, slots=True)
class StageRow:
    """One stage. Its fields stand in the order of HEADINGS; masses are totals on the scale, times
    count from the first water.
    """

    stage: str
    poured_to: str
    planned_to: str
    start: str
    planned_start: str
    flow: str
    even: str
    note: str
    poured: StagePour | None
    """What the row is about; None where the stage was not poured."""
    at_fault: bool
    """Whether the note is of a fault of the hand, or of a stage that was not poured."""

    @property
    def cells(self) -> tuple[str, ...]:
        """The texts, in the order of HEADINGS."""
        return (
            self.stage,
            self.poured_to,
            self.planned_to,
            self.start,
            self.planned_start,
            self.flow,
            self.even,
            self.note,
        )


def stage_rows(
    frame: Frame, plan: Plan | None, arrangement: Arrangement = Arrangement.BREWER_ON_SCALE
) -> tuple[StageRow, ...]:
    """The stages as poured, in order of time, then what was planned and not poured.

    None with the server on the scale: the pours are not weighed then.
    """
    if arrangement is Arrangement.SERVER_ON_SCALE:
        return ()
    planned = () if plan is None else plan.stages
    limits = FlagLimits() if plan is None else plan.limits
    poured = frame.pour.stages
    start_s = frame.pour.brew_start_s or 0.0
    rows = [
        _row(
            stage, None if plan is None else _planned(planned, stage), frame.flags, limits, start_s
        )
        for stage in poured
    ]
    done = {stage.index for stage in poured}
    rows += [_missing(stage) for place, stage in enumerate(planned) if place not in done]
    return tuple(rows)


VAPOUR_SHARE = 0.01
"""Of the water: less has gone off than anyone would weigh (common practice)."""
LEAST_VAPOUR_G = 0.5
"""The sentence gives whole grams, and "0 g" would say nothing."""


def result_line(
    pour: PourState, plan: Plan | None, arrangement: Arrangement = Arrangement.BREWER_ON_SCALE
) -> str:
    """What came out, in one line."""
    if pour.brew_s is None:
        return "Nothing was poured."
    dripped = arrangement is Arrangement.SERVER_ON_SCALE
    took = clock(pour.brew_s)
    ending = "" if pour.ending is None else _ENDINGS[pour.ending]
    if plan is None:
        what = "coffee" if dripped else "water"
        line = f"{pour.water_g:.1f} g of {what} in {took}. {ending}".rstrip()
        return line if dripped else line + _vapour(pour)
    if dripped:
        return (
            f"{pour.water_g:.1f} g of coffee in the server, from {plan.water_g:g} g of water"
            f" planned on {plan.dose_g:g} g; {took}, planned {clock(plan.finish_s)}. {ending}"
        ).rstrip()
    return (
        f"{pour.water_g:.1f} g of {plan.water_g:g} g of water, 1:{pour.water_g / plan.dose_g:.1f}"
        f" on {plan.dose_g:g} g; {took}, planned {clock(plan.finish_s)}. {ending}"
    ).rstrip() + _vapour(pour)


def _vapour(pour: PourState) -> str:
    """What was poured beside what the scale shows, where it is worth a word."""
    poured_g = pour.poured_g
    if poured_g is None:
        return ""
    gone_g = poured_g - pour.water_g
    if gone_g < max(VAPOUR_SHARE * pour.water_g, LEAST_VAPOUR_G):
        return ""
    return f" About {gone_g:.0f} g more were poured and have gone off as vapour."


def _planned(planned: Sequence[Stage], poured: StagePour) -> Stage | None:
    return None if poured.index is None else planned[poured.index]


def _row(
    poured: StagePour,
    planned: Stage | None,
    flags: Sequence[Flag],
    limits: FlagLimits,
    brew_start_s: Seconds,
) -> StageRow:
    own = [flag for flag in flags if flag.stage == poured.stage]
    flow_gps = poured.mean_flow_gps
    return StageRow(
        stage=poured.stage,
        poured_to=NONE if poured.end_g is None else f"{poured.end_g:.1f} g",
        planned_to=NONE if planned is None else f"{planned.to_g:g} g",
        start=clock(poured.start_s - brew_start_s),
        planned_start=NONE if planned is None else clock(planned.start_s),
        flow=NONE if flow_gps is None else f"{flow_gps:.1f}",
        even=_even(poured, own, limits),
        note=_note(own),
        poured=poured,
        at_fault=any(flag.kind not in NOT_THE_HAND for flag in own),
    )


def _missing(planned: Stage) -> StageRow:
    return StageRow(
        stage=planned.name,
        poured_to=NONE,
        planned_to=f"{planned.to_g:g} g",
        start=NONE,
        planned_start=clock(planned.start_s),
        flow=NONE,
        even=NONE,
        note="not poured",
        poured=None,
        at_fault=True,
    )


def _even(poured: StagePour, own: Sequence[Flag], limits: FlagLimits) -> str:
    """How far the flow wandered, and whether that is more than a steady hand's. What stood still
    was not even, however even the rest.

    Above the limit by less than its own error is neither yes nor no.
    """
    still_s = _stood_still_s(poured, own)
    if still_s >= limits.stall_s:
        return f"stood {seconds(still_s)}"
    if any(flag.kind is FlagKind.SURGE for flag in own):
        return "gushed"
    if poured.flow_cv is None:
        return NONE if poured.unjudged is None else UNJUDGED[poured.unjudged]
    wandered = f"{100 * poured.flow_cv:.0f} %"
    if any(flag.kind is FlagKind.UNEVEN for flag in own):
        return f"no, {wandered}"
    return f"{'yes' if poured.flow_cv <= limits.uneven_cv else 'unsure'}, {wandered}"


def _stood_still_s(poured: StagePour, own: Sequence[Flag]) -> Seconds:
    """The longest time without water, where that was the hand's."""
    stalls = [flag.evidence["lasted_s"] for flag in own if flag.kind is FlagKind.STALL]
    if stalls or any(flag.kind in EXCUSES for flag in own):
        return max(stalls, default=0.0)
    gaps_s = [
        after.start_s - before.end_s
        for before, after in pairwise(poured.pours)
        if before.end_s is not None
    ]
    return max(gaps_s, default=0.0)


def _note(own: Sequence[Flag]) -> str:
    """What was flagged, each kind once."""
    counts = {flag.kind: 0 for flag in own}
    for flag in own:
        counts[flag.kind] += 1
    return ", ".join(
        flag_title(kind).lower() + (f" ({count} times)" if count > 1 else "")
        for kind, count in counts.items()
    )
