"""The pages of a person and of a class."""

from collections.abc import Sequence
from typing import Any

from pourcoach.practice.progress.progress import DrillProgress
from pourcoach.reports.charts.small_curve import small_curve
from pourcoach.reports.charts.trend_chart import trend_chart
from pourcoach.reports.group.class_findings import Share, class_findings, rank
from pourcoach.reports.group.group_brew import GroupBrew
from pourcoach.reports.group.progress import person_progress
from pourcoach.reports.pages.environment import page
from pourcoach.wording import RECORDS, flag_title
from pourcoach.wording.progress import ASSIST_IS_NO_SKILL, progress_sentences

MOST_CURVES = 12
"""Of one person; older brews are counted and not drawn."""

RECENT = 8
"""What somebody is to work on is taken from so many of the newest brews."""


def person_page(brews: Sequence[GroupBrew], practice: Sequence[DrillProgress] = ()) -> str:
    """HTML: the progress of one person, in brews and in ``practice``."""
    progress = person_progress(brews)
    # One person against nobody: the shares alone. What to work on is what the newest brews show.
    shares = _shares(progress.brews)
    newest = {share.kind: share for share in _shares(progress.brews[-RECENT:])}
    most = max(newest.values(), key=rank, default=None)
    return page(
        "person.html.j2",
        progress=progress,
        name=progress.name,
        practice=[
            {"title": drill.title, "sentences": progress_sentences(drill)} for drill in practice
        ],
        assist_is_no_skill=ASSIST_IS_NO_SKILL,
        headline="NOTHING NOTED" if most is None else RECORDS[most.kind].headline,
        most=None if most is None else {"title": flag_title(most.kind), "share": most},
        has_trend=any(one.trend is not None for one in progress.criteria),
        has_repeats=any(one.repeats is not None for one in progress.criteria),
        period=_period(progress.brews),
        shares=[
            {
                "title": flag_title(share.kind),
                "share": share,
                "newest": newest[share.kind].text if share.kind in newest else "–",
            }
            for share in shares
        ],
        recent=" newest" if len(progress.brews) > RECENT else "",
        trend=trend_chart(progress),
        card_list=_cards(progress.brews),
        left_out=len(progress.brews) - MOST_CURVES,
    )


def class_page(brews: Sequence[GroupBrew]) -> str:
    """HTML: whose fault is whose, at a glance."""
    found = class_findings(brews)
    poured = [brew for student in found.students for brew in student.brews]
    return page(
        "class.html.j2",
        found=found,
        period=_period(poured),
        kinds=[flag_title(kind) for kind in found.kinds],
        students=[
            {
                "student": student,
                "next": None if student.most is None else RECORDS[student.most.kind].headline,
                "most": None if student.most is None else flag_title(student.most.kind).lower(),
                "cards": _cards(student.brews),
                "left_out": len(student.brews) - MOST_CURVES,
            }
            for student in found.students
        ],
    )


def _shares(brews: Sequence[GroupBrew]) -> tuple[Share, ...]:
    students = class_findings(brews).students
    return students[0].shares if students else ()


def _cards(brews: Sequence[GroupBrew]) -> list[dict[str, Any]]:
    """The newest, oldest of them first."""
    return [{"brew": brew, "curve": small_curve(brew)} for brew in brews[-MOST_CURVES:]]


def _period(brews: Sequence[GroupBrew]) -> str:
    days = sorted(brew.at.date() for brew in brews if brew.at is not None)
    if not days:
        return "not dated"
    return f"{days[0]}" if days[0] == days[-1] else f"{days[0]} to {days[-1]}"
