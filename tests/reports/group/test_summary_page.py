"""Who does what, in a table under its sentences."""

from pourcoach.reports.group.class_findings import class_findings
from pourcoach.reports.group.summary_page import OWN, student_figures, summary_lines
from tests.reports.group.made_group import TWELVE_BREWS, group_brew


def test_what_is_somebodys_own_is_marked_and_explained() -> None:
    found = class_findings(TWELVE_BREWS)
    lines = summary_lines(found)
    assert lines[: len(found.sentences)] == list(found.sentences)
    own = [share.is_own for student in found.students for share in student.shares]
    assert any(own)
    assert lines[-1] == OWN
    assert "\n".join(lines[:-1]).count("*") == sum(own)


def test_where_nothing_is_own_nothing_is_explained() -> None:
    assert OWN not in summary_lines(class_findings([group_brew("Ada"), group_brew("Bo")]))


def test_brews_of_nobody_have_no_name_in_the_figures() -> None:
    (student,) = class_findings([group_brew(None)]).students
    assert (student_figures(student)["by"], student_figures(student)["brews"]) == (None, 1)
