import argparse
from pathlib import Path
from typing import Any

import pytest

from pourcoach.brewing.plan.bloom import Roast
from pourcoach.brewing.plan.plan_file import plan_to_toml
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.cli.options.plan_options import (
    add_plan_options,
    plan_from,
    temperature_c,
    worked_plan_from,
)
from pourcoach.domain.errors import UsageError, WorkError


def parsed(*argv: str) -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    add_plan_options(parser)
    return parser.parse_args(argv)


@pytest.mark.parametrize(
    ("argv", "request_"),
    [
        ("", PlanRequest()),
        ("--dose 18 --ratio 15", PlanRequest(dose_g=18.0, ratio=15.0)),
        ("--dose 18 --water 300", PlanRequest(dose_g=18.0, water_g=300.0)),
        ("--cup 250", PlanRequest(cup_g=250.0)),
        ("--bloom 3 --bloom-wait 40", PlanRequest(bloom_multiple=3.0, bloom_wait_s=40.0)),
        ("--pours 4 --flow 6.5", PlanRequest(pours=4, flow_gps=6.5)),
        ("--brewer flat-bottom", PlanRequest(brewer="flat-bottom")),
        ("--temperature 203F", PlanRequest(temperature_c=95.0)),
        ("--roast light --days-off-roast 9", PlanRequest(roast=Roast.LIGHT, days_off_roast=9.0)),
    ],
)
def test_options_make_the_request(argv: str, request_: PlanRequest) -> None:
    assert plan_from(parsed(*argv.split())) == work_out(request_).plan


@pytest.mark.parametrize(
    ("defaults", "argv", "dose_g", "water_g"),
    [
        ({"dose_g": 15}, "", 15.0, 240.0),
        ({"dose_g": 15}, "--dose 18", 18.0, 288.0),
        ({"dose_g": 15, "ratio": 17}, "", 15.0, 255.0),
        # An option that says how much water outranks every saved way to say it.
        ({"dose_g": 15, "ratio": 17}, "--water 300", 15.0, 300.0),
        ({"dose_g": 15, "water_g": 250}, "--ratio 16", 15.0, 240.0),
        ({"dose_g": 15, "ratio": 17}, "--water 300 --dose 20", 20.0, 300.0),
    ],
)
def test_options_win_over_saved_defaults(
    defaults: dict[str, Any], argv: str, dose_g: float, water_g: float
) -> None:
    plan = plan_from(parsed(*argv.split()), defaults)
    assert (plan.dose_g, plan.water_g) == (dose_g, water_g)


def test_a_plan_file_stands_for_all_options(tmp_path: Path) -> None:
    plan = work_out(PlanRequest(dose_g=25.0, brewer="flat-bottom")).plan
    file = tmp_path / "plan.toml"
    file.write_text(plan_to_toml(plan), encoding="utf-8")
    assert plan_from(parsed("--plan", str(file)), {"dose_g": 15}) == plan
    with pytest.raises(UsageError, match="exclude each other"):
        plan_from(parsed("--plan", str(file), "--dose", "20"))


def test_a_plan_file_that_cannot_be_read_is_reported(tmp_path: Path) -> None:
    with pytest.raises(WorkError, match=r"cannot read the plan file .*none\.toml"):
        plan_from(parsed("--plan", str(tmp_path / "none.toml")))
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b'brewer = "caf\xe9"')
    with pytest.raises(WorkError, match="not UTF-8"):
        plan_from(parsed("--plan", str(latin)))


def test_warnings_come_with_the_plan() -> None:
    assert worked_plan_from(parsed("--ratio", "12")).warnings != ()


@pytest.mark.parametrize(
    ("text", "celsius"),
    [("94", 94.0), ("94C", 94.0), ("94.5 °C", 94.5), ("212F", 100.0), ("201.2f", 94.0)],
)
def test_temperature_takes_both_scales(text: str, celsius: float) -> None:
    assert temperature_c(text) == pytest.approx(celsius, abs=1e-9)


@pytest.mark.parametrize("text", ["", "hot", "94K"])
def test_temperature_refuses_the_rest(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError, match="is no temperature"):
        temperature_c(text)
