"""The table of marks: each kind of figure, bounds, and what could not be judged."""

import math

from pourcoach.coaching.marking.marking import CriterionMark, Marks
from pourcoach.coaching.marking.rubric import Criterion, Measure
from pourcoach.domain.pour import Replan
from pourcoach.reports.brew.marks_table import marks_lines


def test_each_kind_of_mark_is_reported_with_its_figure() -> None:
    marks = Marks(
        "house",
        (
            CriterionMark(
                Criterion("Bloom wait", Measure.BLOOM_WAIT_OFF_S, -5, 15, 3.0), "pour 1", -0.01
            ),
            CriterionMark(Criterion("Even flow", Measure.FLOW_CV, -math.inf, 0.2), "pour 1", 0.251),
            CriterionMark(Criterion("Water", Measure.WATER_OFF_G, 0, math.inf), None, 2.34),
            CriterionMark(Criterion("No stall", Measure.STALLS, -math.inf, 0), None, 1.0),
            CriterionMark(Criterion("Brew time", Measure.BREW_S, 120, 300), None, None),
        ),
    )
    assert marks_lines(marks, 4.0) == [
        "MARKS  2 of 4 met; 67 % with each counted as it matters (house)",
        "CRITERION   STAGE   FIGURE  BOUNDS          MET?",
        "Bloom wait  pour 1     0 s  -5 s to 15 s    yes",
        "Even flow   pour 1  25.1 %  up to 20 %      no",
        "Water                2.3 g  from 0 g        yes",
        "No stall                 1  up to 0         no",
        "Brew time                -  120 s to 300 s  not judged",
    ]


def test_what_may_be_on_either_side_of_its_bound_is_unsure() -> None:
    even = Criterion("Even flow", Measure.FLOW_CV, -math.inf, 0.2)
    marks = Marks("house", (CriterionMark(even, "pour 2", 0.347, error=0.3),))
    row = marks_lines(marks, 4.0)[2]
    assert row.split() == [
        "Even",
        "flow",
        "pour",
        "2",
        "34.7",
        "%",
        "up",
        "to",
        "20",
        "%",
        "unsure",
    ]


def test_what_was_not_seen_and_what_changed_the_plan_are_said() -> None:
    replan = Replan(31.5, "bloom", off_g=20.0)
    landing = Criterion("Landing", Measure.LANDING_OFF_G, -5, 5)
    marks = Marks(
        "house",
        (
            CriterionMark(landing, "pour 1", 1.0, replan=replan),
            CriterionMark(landing, "pour 2", None, seen=False),
        ),
    )
    assert marks_lines(marks, 4.0) == [
        "MARKS  1 of 2 met (1 not seen); 50 % with each counted as it matters (house)",
        "CRITERION  STAGE   FIGURE  BOUNDS       MET?",
        "Landing    pour 1     1 g  -5 g to 5 g  yes, by the new plan",
        "Landing    pour 2       -  -5 g to 5 g  no, not seen",
        "Bloom ended 20 g beyond its mark, so at 0:27 the program shared out the rest of the water"
        " anew.",
    ]
