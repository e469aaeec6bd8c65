"""The review as lines of text."""

from dataclasses import replace

from pourcoach.domain.plan import Arrangement
from pourcoach.reports.plain_review import WIDTH, review_lines
from tests.reports.made_brew import PLAN, STALL, UNEVEN, last_frame


def test_the_whole_review() -> None:
    assert "\n".join(review_lines(last_frame(flags=(STALL,)), PLAN)) == (
        """\
KEEP POURING
  The water all but stopped for 1.5 s in pour 2 and then went on.
  Fill the kettle enough for the whole stage and keep a thin stream going.

320.3 g of 320 g of water, 1:16.0 on 20 g; 3:07, planned 3:10.

STAGE   POURED TO   PLAN  START  PLAN  FLOW g/s  EVEN?     NOTE
bloom      40.2 g   40 g   0:00  0:00       5.0  yes, 7 %
pour 1    181.0 g  180 g   0:35  0:35       5.0  yes, 7 %
pour 2    320.3 g  320 g   1:26  1:25       5.0  yes, 7 %  stalled pour

Stalled pour
  1:40 pour 2, 96 % sure: The water all but stopped for 1.5 s in pour 2 and then went on.
    A broken pour lets part of the bed drain before the rest is wet, which suggests a risk of
    channeling. Fill the kettle enough for the whole stage and keep a thin stream going. A scale
    sees how much is poured, not where it goes in the bed: look at the bed.

MARKS  10 of 11 criteria met, 88 % by weight (pouring to plan)
CRITERION    STAGE    FIGURE  BOUNDS         MET?
Bloom water  bloom   100.5 %  80 % to 120 %  yes
Bloom wait   pour 1      0 s  -5 s to 15 s   yes
Landing      pour 1    0.6 %  -5 % to 5 %    yes
Landing      pour 2    0.1 %  -5 % to 5 %    yes
On time      pour 2      1 s  -8 s to 8 s    yes
Even flow    bloom       7 %  up to 20 %     yes
Even flow    pour 1      7 %  up to 20 %     yes
Even flow    pour 2      7 %  up to 20 %     yes
No stall                   1  up to 0        no
No surge                   0  up to 0        yes
Total water            0.1 %  -3 % to 3 %    yes
Brew time                  -  -25 % to 25 %  not judged

Channeling risk from the pour: raised.
Stalled pour: The water all but stopped for 1.5 s in pour 2 and then went on.
Look at the bed: a level bed with an even film of fines suggests an even draw; a hole, a dry
patch or one side standing high suggests that water took a path of its own.
The scale sees what is poured, not where it goes: this suggests, it does not prove."""
    )


def test_readings_that_contradict_the_arrangement_are_told() -> None:
    frame = last_frame()
    pour = replace(frame.pour, looks_like=Arrangement.SERVER_ON_SCALE)
    lines = review_lines(replace(frame, pour=pour), PLAN)
    assert "choose server-on-scale" in " ".join(lines)


def test_no_line_of_prose_is_wider_than_a_page() -> None:
    lines = review_lines(last_frame(flags=(STALL, UNEVEN)), PLAN)
    assert max(map(len, lines)) <= WIDTH


def test_a_brew_in_which_nothing_came_is_told_in_one_line() -> None:
    assert review_lines(None, PLAN) == [
        "Nothing came from the scale, so there is nothing to review."
    ]
