"""Marks as a table."""

from pourcoach.coaching.marking import mark
from pourcoach.coaching.rubric import read_rubric
from pourcoach.reports.marks_table import marks_heading, marks_lines
from tests.reports.made_brew import PLAN, last_frame

RUBRIC = read_rubric(
    """
name = "short"
[[criterion]]
title = "Bloom water"
measure = "bloom_share"
least = 0.8
most = 1.2
[[criterion]]
title = "Landing"
measure = "landing_off_g"
least = -0.5
most = 0.5
[[criterion]]
title = "Even flow"
measure = "flow_cv"
most = 0.2
[[criterion]]
title = "Brew time"
measure = "brew_s"
least = 150
"""
)


def test_each_criterion_has_its_figure_and_its_bounds() -> None:
    marks = mark(last_frame(), PLAN, RUBRIC)
    assert marks_heading(marks) == "5 of 6 criteria met (rubric: short)"
    assert marks_lines(marks) == [
        "Bloom water  bloom    101 %  80 % to 120 %     met",
        "Landing      pour 1  +1.0 g  -0.5 g to +0.5 g  NOT MET",
        "Landing      pour 2  +0.3 g  -0.5 g to +0.5 g  met",
        "Even flow    bloom      7 %  at most 20 %      met",
        "Even flow    pour 1     7 %  at most 20 %      met",
        "Even flow    pour 2     7 %  at most 20 %      met",
        "Brew time                 -  at least 150 s    not judged",
    ]
