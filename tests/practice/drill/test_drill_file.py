"""A drill as a trainer writes it."""

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.practice.drill.drill_file import drill_from_toml
from pourcoach.practice.drill.measure import Asked, Judged, PourMeasure

GOOD = """
title = "Two halves"
task = "Pour {mass1}, rest {rest2}, and {mass2} more at {start2}."
server_ml = 300
factors = [0.5, 1.0]

[[pour]]
mass_g = 60
flow_gps = 6

[[pour]]
mass_g = 90
flow_gps = 6
after_s = 10

[[judged]]
measure = "landing"
pour = 2
band = 5

[asks]
measure = "flow"
pour = 1
"""


def test_a_drill_is_read_with_its_plan_and_its_task() -> None:
    drill = drill_from_toml("halves", GOOD)
    assert drill.name == "halves"
    assert drill.judged == (Judged(PourMeasure.LANDING, 5.0, 2),)
    assert drill.asks == Asked(PourMeasure.FLOW, 1)
    plan = drill.plan_at(1.0)
    assert [(stage.start_s, stage.to_g) for stage in plan.stages] == [(0.0, 60.0), (20.0, 150.0)]
    assert drill.task_at(1.0) == "Pour 60 g, rest 10 s, and 90 g more at 0:20."


def test_a_varied_pour_keeps_its_flow_and_its_rests() -> None:
    drill = drill_from_toml("halves", GOOD)
    plan = drill.plan_at(0.5)
    assert [(stage.start_s, stage.to_g) for stage in plan.stages] == [(0.0, 30.0), (15.0, 75.0)]
    assert drill.task_at(0.5) == "Pour 30 g, rest 10 s, and 45 g more at 0:15."


def test_no_transfer_test_asks_for_what_is_practised() -> None:
    assert drill_from_toml("halves", GOOD).transfer_factors == (0.75, 1.25)
    varied = GOOD.replace("factors = [0.5, 1.0]", "factors = [0.75, 1.0]")
    assert drill_from_toml("halves", varied).transfer_factors == (1.25,)


def test_a_start_just_before_the_minute_is_not_its_sixtieth_second() -> None:
    drill = drill_from_toml("halves", GOOD.replace("after_s = 10", "after_s = 49.7"))
    assert drill.task_at(1.0) == "Pour 60 g, rest 50 s, and 90 g more at 1:00."


def test_what_is_needed_names_the_server_and_cold_water() -> None:
    needs = drill_from_toml("halves", GOOD).needs
    assert "300 ml" in needs
    assert "cold water" in needs


@pytest.mark.parametrize(
    ("cut", "put", "why"),
    [
        ('title = "Two halves"', "", "title is missing"),
        ("{rest2}", "{rest3}", "the task has {rest3}"),
        ("server_ml = 300", "server_ml = 150", "do not go into a server of 150 ml"),
        (
            'measure = "landing"',
            'measure = "taste"',
            r"measure is 'taste'; use one of landing, mass",
        ),
        ("pour = 2", "pour = 3", "pour is 3; make it a whole number from 1 to 2"),
        (
            "mass_g = 60",
            'mass_g = "much"',
            r"line \d+: pour\[1\]\.mass_g is 'much'; make it a number from 5 to 2000",
        ),
        ("factors", "factor", "factor is not known here"),
        (
            "factors = [0.5, 1.0]",
            "factors = [1, 1.5]\ntransfer_factors = [0.75, 1.5]",
            r"line \d+: transfer_factors has 1\.5, which is practised",
        ),
        ("factors = [0.5, 1.0]", "factors = [0]", "factors is 0; make it a number from 0.1 to 10"),
        ('measure = "flow"\npour = 1', 'measure = "flow"', "the flow of no pour"),
        ("[[pour]]", "[pour]", "not TOML"),
        ("[asks]", "[schedule]\nshares = []\n[asks]", r"schedule\.shares is \[\]"),
        ("[asks]", "[schedule]\nblock = 0\n[asks]", "block is 0"),
        ("[asks]", "[schedule]\nlunch = 1\n[asks]", r"line \d+: schedule\.lunch is not known here"),
        ("[asks]", "[schedule]\ndelay_s = [8, 3]\n[asks]", r"delay_s is \[8\.0, 3\.0\]"),
    ],
)
def test_what_is_wrong_is_named_with_the_drill(cut: str, put: str, why: str) -> None:
    text = GOOD.replace(cut, put, 1)
    assert text != GOOD
    with pytest.raises(UsageError, match=f"halves.*{why}"):
        drill_from_toml("halves", text)
