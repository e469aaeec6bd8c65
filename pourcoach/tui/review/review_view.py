"""What the review shows, as one value: a function of the last Frame, plan and what is picked."""

from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.coaching.flags.risk import BedLook, bed_look
from pourcoach.coaching.marking.marking import Marks, mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.advice import Flag
from pourcoach.domain.afterwards import Impression
from pourcoach.domain.frame import Frame
from pourcoach.domain.key_press import KeyPress
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Seconds
from pourcoach.reports.brew.flow_bands import FlowBand, flow_bands
from pourcoach.reports.brew.marks_table import marks_lines
from pourcoach.reports.brew.noted import NOT_THE_HAND, noted
from pourcoach.reports.brew.plain_review import MARKED
from pourcoach.reports.brew.stage_table import StageRow, result_line, stage_rows
from pourcoach.reports.brew.verdict import Verdict, risk_or_why_not, verdict
from pourcoach.tui.renderables.fault_row import FaultSpan, MomentSign
from pourcoach.wording import (
    arrangement_sentence,
    bed_sentence,
    flag_title,
    flag_words,
    moment_words,
)
from pourcoach.wording.afterwards import afterword_sentence


@dataclass(frozen=True, slots=True)
class ReviewView:
    """All that the review screen draws; texts are wrapped where they are drawn."""

    lead: Verdict
    result: str
    marks: str
    """Criteria met, of which rubric; empty where nothing could be judged."""
    rows: tuple[StageRow, ...]
    picked: int | None
    """Index of the row picked; None shows the whole brew."""
    faults: tuple[FaultSpan, ...]
    moments: tuple[MomentSign, ...]
    """The brewer's own marks and notes."""
    bands: tuple[FlowBand, ...]
    """What the flow of each stage is judged against."""
    span: tuple[Seconds, Seconds] | None
    """The stage picked, from first water; None where none is or it was not poured."""
    side: tuple[str, ...]
    """Paragraphs on the stage picked, or on the brew."""
    page: str
    """Everything that was noted, to be read at length."""


def review_view(
    frame: Frame,
    plan: Plan | None,
    rubric: Rubric,
    picked: int | None = None,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
    said: Sequence[Impression] = (),
) -> ReviewView:
    """The view of the last ``frame`` of a brew under ``plan``, marked by ``rubric``.

    ``said`` was of it afterwards.
    """
    look = bed_look(said)
    marks = mark(frame, plan, rubric, arrangement)
    rows = stage_rows(frame, plan, arrangement)
    row = None if picked is None else rows[picked]
    start_s = frame.pour.brew_start_s
    limits = FlagLimits() if plan is None else plan.limits
    lead = verdict(frame, plan, marks, arrangement)
    return ReviewView(
        lead=lead,
        result=result_line(frame.pour, plan, arrangement),
        marks=f"Marks: {marks.met} of {marks.judged} ({marks.rubric})." if marks.judged else "",
        rows=rows,
        picked=picked,
        faults=() if start_s is None else _faults(frame.flags, start_s),
        moments=() if start_s is None else _moments(frame.moments, start_s),
        bands=() if start_s is None else flow_bands(frame.pour.stages, limits, start_s),
        span=_span(row, start_s),
        side=_on_brew(frame, lead, look, arrangement)
        if row is None
        else _on_stage(row, frame.flags),
        page=_page(frame, lead, marks, look, arrangement, said),
    )


def _faults(flags: tuple[Flag, ...], start_s: Seconds) -> tuple[FaultSpan, ...]:
    return tuple(
        FaultSpan(flag.start_s - start_s, flag.end_s - start_s, flag.kind not in NOT_THE_HAND)
        for flag in flags
    )


def _moments(moments: Sequence[KeyPress], start_s: Seconds) -> tuple[MomentSign, ...]:
    return tuple(MomentSign(each.t_s - start_s, each.key.value[0]) for each in moments)


def _span(row: StageRow | None, start_s: Seconds | None) -> tuple[Seconds, Seconds] | None:
    if row is None or row.poured is None or row.poured.end_s is None or start_s is None:
        return None
    return row.poured.start_s - start_s, row.poured.end_s - start_s


def _on_stage(row: StageRow, flags: tuple[Flag, ...]) -> tuple[str, ...]:
    if row.poured is None:
        return (f"{row.stage}: not poured.",)
    own = [flag for flag in flags if flag.stage == row.stage]
    if not own:
        return (f"{row.stage}: nothing noted.",)
    return tuple(
        f"{flag_title(flag.kind)}, {100 * flag.confidence:.0f} % sure. {flag_words(flag).measured}"
        f" {flag_words(flag).try_this}".rstrip()
        for flag in sorted(own, key=lambda flag: flag.kind in NOT_THE_HAND)
    )


def _on_brew(
    frame: Frame, lead: Verdict, look: BedLook | None, arrangement: Arrangement
) -> tuple[str, ...]:
    said = [lead.reason, arrangement_sentence(frame.pour)]
    if look is not None:
        said.append(bed_sentence(frame.risk, look))
    return (
        *(sentence for sentence in said if sentence),
        *risk_or_why_not(frame, arrangement),
    )


def _page(
    frame: Frame,
    lead: Verdict,
    marks: Marks,
    look: BedLook | None,
    arrangement: Arrangement,
    said: Sequence[Impression],
) -> str:
    parts = ["\n".join(_on_brew(frame, lead, look, arrangement))]
    for kind in noted(frame.flags, frame.pour.brew_start_s):
        found = [f"- {finding.head}: {finding.measured}" for finding in kind.findings]
        parts.append("\n".join([kind.title.upper(), *found, kind.what_of_it]))
    if frame.moments:
        start_s = frame.pour.brew_start_s
        marked = [f"- {moment_words(moment, start_s)}" for moment in frame.moments]
        parts.append("\n".join([MARKED.upper(), *marked]))
    if said:
        words = [f"- {afterword_sentence(word)}" for word in said]
        parts.append("\n".join(["NOTED AFTERWARDS", *words]))
    if marks.judged:
        parts.append("\n".join(marks_lines(marks, frame.pour.brew_start_s)))
    return "\n\n".join(parts)
