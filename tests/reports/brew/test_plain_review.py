"""The review as lines of text."""

from pourcoach.coaching.marking.rubric import read_rubric
from pourcoach.domain.plan import Arrangement
from pourcoach.reports.brew.plain_review import WIDTH, review_lines
from tests.reports.made_brew import PLAN, STALL, UNEVEN, last_frame

RUBRIC = read_rubric(
    """
name = "no stall"
[[criterion]]
title = "No stall"
measure = "stalls"
most = 0
"""
)


def test_the_whole_review() -> None:
    assert "\n".join(review_lines(last_frame(flags=(STALL,)), PLAN, RUBRIC)) == (
        """\
KEEP POURING
  The water all but stopped for 1.5 s in pour 2 and then went on.
  Fill the kettle enough for the whole stage and keep a thin stream going.
  A broken pour lets part of the bed drain before the rest is wet, which suggests a risk of
  channeling.

320.3 g of 320 g of water, 1:16.0 on 20 g; 3:07, planned 3:10.

STAGE   POURED TO   PLAN  START  PLAN  FLOW g/s  EVEN?        NOTE
bloom      40.2 g   40 g   0:00  0:00       5.0  yes, 7 %
pour 1    181.0 g  180 g   0:35  0:35       5.0  yes, 7 %
pour 2    320.3 g  320 g   1:26  1:25       5.0  stood 1.5 s  stalled pour

Stalled pour
  1:40 pour 2, 96 % sure: The water all but stopped for 1.5 s in pour 2 and then went on.
    A broken pour lets part of the bed drain before the rest is wet, which suggests a risk of
    channeling. Fill the kettle enough for the whole stage and keep a thin stream going. A scale
    sees how much is poured, not where it goes in the bed: look at the bed.

MARKS  0 of 1 met; 0 % with each counted as it matters (no stall)
CRITERION  STAGE  FIGURE  BOUNDS   MET?
No stall               1  up to 0  no

Channeling risk from the pour: raised.
Stalled pour: The water all but stopped for 1.5 s in pour 2 and then went on.
Look at the bed: a level bed with an even film of fines suggests an even draw; a hole, a dry
patch or one side standing high suggests that water took a path of its own.
The scale sees what is poured, not where it goes: this suggests, it does not prove."""
    )


def test_readings_that_contradict_the_arrangement_are_reported() -> None:
    frame = last_frame()
    pour = frame.pour._replace(looks_like=Arrangement.SERVER_ON_SCALE)
    lines = review_lines(frame._replace(pour=pour), PLAN, RUBRIC)
    assert "choose server-on-scale" in " ".join(lines)


def test_no_line_of_prose_is_wider_than_a_page() -> None:
    lines = review_lines(last_frame(flags=(STALL, UNEVEN)), PLAN, RUBRIC)
    assert max(map(len, lines)) <= WIDTH


def test_a_brew_in_which_nothing_came_is_reported_in_one_line() -> None:
    assert review_lines(None, PLAN, RUBRIC) == [
        "Nothing came from the scale, so there is nothing to review."
    ]
