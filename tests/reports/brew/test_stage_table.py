"""The stage table and the result line."""

from dataclasses import replace

import pytest

from pourcoach.domain.plan import Arrangement
from pourcoach.domain.pour import Ending, Unjudged
from pourcoach.reports.brew.stage_table import result_line, stage_rows
from tests.reports.made_brew import KNOCK, PLAN, STALL, STEADY, UNEVEN, last_frame, stage_pour


def test_every_stage_stands_with_its_plan() -> None:
    rows = stage_rows(last_frame(), PLAN)
    assert [row.cells for row in rows] == [
        ("bloom", "40.2 g", "40 g", "0:00", "0:00", "5.0", "yes, 7 %", ""),
        ("pour 1", "181.0 g", "180 g", "0:35", "0:35", "5.0", "yes, 7 %", ""),
        ("pour 2", "320.3 g", "320 g", "1:26", "1:25", "5.0", "yes, 7 %", ""),
    ]
    assert [row.poured for row in rows] == list(STEADY)


def test_what_was_planned_and_not_poured_is_reported() -> None:
    last = stage_rows(last_frame(STEADY[:2]), PLAN)[-1]
    assert last.cells == ("pour 2", "-", "320 g", "-", "1:25", "-", "-", "not poured")
    assert last.poured is None


def test_a_pour_that_no_plan_knows_has_no_plan_beside_it() -> None:
    extra = (*STEADY, stage_pour("extra pour", 130.0, 320.3, 330.0, None))
    assert stage_rows(last_frame(extra), PLAN)[-1].cells == (
        "extra pour", "330.0 g", "-", "2:10", "-", "5.0", "-", "",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("cv", "flagged", "said"),
    [
        (None, False, "-"),
        (0.2, False, "yes, 20 %"),
        (0.22, False, "unsure, 22 %"),
        (0.31, True, "no, 31 %"),
    ],
)
def test_evenness_above_the_limit_but_within_its_error_is_unsure(
    cv: float | None, flagged: bool, said: str
) -> None:
    stages = (STEADY[0], stage_pour("pour 1", 35.0, 40.2, 181.0, cv))
    rows = stage_rows(last_frame(stages, (UNEVEN,) if flagged else ()), PLAN)
    assert rows[1].even == said


@pytest.mark.parametrize(
    ("why", "said"),
    [
        (Unjudged.TOO_SHORT, "too short"),
        (Unjudged.HIDDEN, "hidden"),
        (Unjudged.NOISY, "too noisy"),
    ],
)
def test_a_pour_that_was_not_judged_says_why(why: Unjudged, said: str) -> None:
    stage = replace(stage_pour("pour 1", 35.0, 40.2, 181.0, None), unjudged=why)
    assert stage_rows(last_frame((STEADY[0], stage)), PLAN)[1].even == said


def test_a_note_names_each_kind_of_its_own_stage_once() -> None:
    rows = stage_rows(last_frame(flags=(STALL, UNEVEN, STALL, KNOCK)), PLAN)
    assert [row.note for row in rows] == [
        "",
        "uneven pour, scale disturbed",
        "stalled pour (2 times)",
    ]


@pytest.mark.parametrize(
    ("ending", "said"),
    [
        (Ending.RESTED, ""),
        (Ending.LIFTED, " Brewer lifted."),
        (Ending.TAPE, " The recording stops here."),
    ],
)
def test_the_result_stands_beside_the_plan(ending: Ending, said: str) -> None:
    assert result_line(last_frame(ending=ending).pour, PLAN) == (
        f"320.3 g of 320 g of water, 1:16.0 on 20 g; 3:07, planned 3:10.{said}"
    )


def test_with_the_server_on_the_scale_the_result_is_the_coffee() -> None:
    frame = last_frame()
    server = Arrangement.SERVER_ON_SCALE
    assert stage_rows(frame, PLAN, server) == ()
    assert result_line(frame.pour, PLAN, server) == (
        "320.3 g of coffee in the server, from 320 g of water planned on 20 g; 3:07, planned 3:10."
    )
    assert result_line(frame.pour, None, server) == "320.3 g of coffee in 3:07."


def test_the_result_without_a_plan_and_without_water() -> None:
    assert result_line(last_frame(plan=None).pour, None) == "320.3 g of water in 3:07."
    assert result_line(last_frame(()).pour, PLAN) == "Nothing was poured."


@pytest.mark.parametrize(
    ("water_g", "gone_g", "said"),
    [
        (30.0, 0.4, False),  # more than 1 % of it, yet no whole gram
        (320.0, 2.0, False),
        (320.0, 4.0, True),
    ],
)
def test_vapour_is_named_where_it_is_a_gram_and_a_share(
    water_g: float, gone_g: float, said: bool
) -> None:
    stage = stage_pour("bloom", 0.0, 0.0, water_g, 0.07)
    stage = replace(stage, pours=tuple(replace(pour, vapour_g=gone_g) for pour in stage.pours))
    assert ("vapour" in result_line(last_frame((stage,)).pour, PLAN)) is said
