"""Who does what in a group, as figures and as lines of text."""

from typing import Any

from pourcoach.reports.columns import in_columns
from pourcoach.reports.group.class_findings import ClassFindings, Share, Student
from pourcoach.reports.group.group_brew import NOBODY
from pourcoach.wording import flag_title

MARK = "*"
OWN = (
    f"{MARK} more than the others, by more than chance (Fisher's exact test over all cells"
    " together, 5 %)."
)


def student_figures(student: Student) -> dict[str, Any]:
    """One person's figures of ``sessions summary --json``; ``by`` is None for nobody's brews."""
    return {
        "by": None if student.name == NOBODY else student.name,
        "brews": len(student.brews),
        "findings": [
            {
                "kind": share.kind.value,
                "brews_with": share.hits,
                "brews": share.count,
                "others_with": share.other_hits,
                "others": share.other_count,
                "share_low": share.bounds[0],
                "share_high": share.bounds[1],
                "more_than_others": share.is_own,
            }
            for share in student.shares
        ],
    }


def summary_lines(found: ClassFindings) -> list[str]:
    """The group in sentences and as a table, the explanation of its mark last."""
    heading = ["WHO", "BREWS", *(flag_title(kind) for kind in found.kinds)]
    rows = [
        [student.name, str(len(student.brews)), *(_cell(share) for share in student.shares)]
        for student in found.students
    ]
    right = frozenset(range(1, len(heading)))
    lines = [*found.sentences, "", *in_columns([heading, *rows], right=right), ""]
    if any(share.is_own for student in found.students for share in student.shares):
        lines.append(OWN)
    return lines


def _cell(share: Share) -> str:
    return f"{share.hits}{MARK if share.is_own else ''}" if share.hits else "–"
