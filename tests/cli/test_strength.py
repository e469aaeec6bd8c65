import json
from pathlib import Path

import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.cli.main import main
from pourcoach.cli.strength import EXAMPLE
from pourcoach.domain.errors import WorkError
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.setup import Setup
from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.library import Library, library_path
from pourcoach.recordings.tape import TapeHeader

CUP = ["strength", "--dose", "20", "--tds", "1.3"]


def test_figures_by_hand(capsys: pytest.CaptureFixture[str]) -> None:
    # 1.3 % of 280 g in 20 g of coffee is 18.2 %; 40 g kept by 20 g.
    assert main([*CUP, "--water", "320", "--beverage", "280", "--no-chart"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "strength    1.30 ± 0.03 %   within the classic 1.15-1.35 %",
        "extraction  18.2 ± 0.4 %    within the classic 18-22 %",
        "ratio       1:16.0",
        "kept        2.00 g a gram as weighed, 2.18 g of water (the coffee holds solids)",
    ]


def test_why_gives_formula_numbers_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*CUP, "--beverage", "280", "--why", "--no-chart"]) == 0
    out = capsys.readouterr().out
    assert "E = S × B / D" in out
    assert "1.3 % × 280 g / 20 g = 18.20 %" in out
    assert "source: " in out
    assert "give the water too" in out


def test_the_chart_is_drawn_with_earlier_brews(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*CUP, "--beverage", "280", "--earlier", "20,1.25"]) == 0
    out = capsys.readouterr().out
    assert "classic box" in out
    assert "earlier" in out


@pytest.mark.parametrize(
    ("method", "extraction_pct"),
    [("drip-classic", 18.2), ("drip-dissolved", 18.4397), ("immersion", 21.0740)],
)
def test_an_equation_is_chosen_by_name(
    method: str, extraction_pct: float, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*CUP, "--water", "320", "--method", method, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["method"] == method
    assert data["extraction_pct"] == pytest.approx(extraction_pct, abs=1e-4)


def test_brix_by_a_stated_factor(capsys: pytest.CaptureFixture[str]) -> None:
    argv = "strength --dose 20 --beverage 280 --brix 1.6 --brix-factor 0.8"
    assert main([*argv.split(), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["strength_pct"] == pytest.approx(1.28)
    # 0.8 × 0.05 °Bx and 1.6 × 0.02: what the reading and the factor may be off by.
    assert data["strength_error_pct"] == pytest.approx(0.0512, abs=1e-4)
    assert main([*argv.split(), "--why"]) == 0
    out = capsys.readouterr().out
    assert "S = factor × Brix" in out
    assert "(0.8 ± 0.02) × (1.6 ± 0.05) °Bx = 1.280 ± 0.051 %" in out


@pytest.mark.parametrize(
    ("argv", "says"),
    [
        ("--dose 20 --tds 1.3 --water 320", "an equation must be chosen"),
        ("--dose 20 --tds 1.3 --water 320 --beverage 320", "water poured is not beverage"),
        ("--dose 20 --beverage 280", "one strength reading"),
        ("--dose 20 --beverage 280 --tds 1.3 --brix 1.5", "one strength reading"),
        ("--dose 20 --beverage 280 --brix 1.5", "degrees Brix are of sugar"),
        ("--dose 20 --beverage 280 --brix 1.5 --brix-factor 0.8 --tds-error 0.1", "--brix-error"),
        ("--tds 1.3 --beverage 280", "the dose is missing"),
        ("--dose 20 --tds 0.013 --beverage 280", "1.3, not 0.013"),
        ("--dose 20 --tds 1.3 --beverage 280 --earlier here", "'here' is no point"),
        ("--dose 20 --tds 1.3 --beverage 280 --earlier nan,1.3", "'nan,1.3' is no point"),
        ("--dose 20 --tds 1.3 --beverage 280 --tds-error -0.1", "strength cannot be known to -0.1"),
        ("--dose 20 --tds 1.3 --beverage 280 --mass-error -5", "beverage cannot be known to -5 g"),
        ("--dose 20 --tds 1.3 --beverage 280 --save", "--save does not know"),
    ],
)
def test_wrong_use_is_one_line(argv: str, says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["strength", *argv.split()]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
    assert err.count("\n") == 1


def test_the_example_works() -> None:
    assert main(EXAMPLE.split()[1:]) == 0


def write_tape(
    file: Path,
    by: str,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
    at: str = "2026-01-15T09:30:00+00:00",
) -> Path:
    """A tape on which 128 g were poured on 8 g in a minute, ten readings a second."""
    plan = work_out(PlanRequest(dose_g=8.0, pours=1, bloom_wait_s=10.0, flow_gps=8.0)).plan
    header = TapeHeader(plan=plan, recorded_at=at, by=by, setup=Setup(arrangement))
    lines = [json.dumps(header.as_dict())]
    for tick in range(700):
        t_s = tick / 10
        lines.append(json.dumps([t_s, round(plan.target_g(t_s - 5.0), 1)]))
    file.write_text("\n".join([*lines, json.dumps({"end": 70.0})]), encoding="utf-8")
    return file


def test_dose_and_water_come_from_a_recording(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = write_tape(tmp_path / "brew.jsonl", "Ada")
    argv = ["strength", "--recording", str(tape), "--tds", "1.3", "--beverage", "112", "--json"]
    assert main(argv) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["dose_g"] == 8.0
    assert data["water_g"] == pytest.approx(128.0, abs=0.5)


def test_a_server_on_the_scale_gives_the_beverage_and_not_the_water(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = write_tape(tmp_path / "brew.jsonl", "Ada", Arrangement.SERVER_ON_SCALE)
    assert main(["strength", "--recording", str(tape), "--tds", "1.2", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["water_g"] is None
    assert data["beverage_g"] == pytest.approx(128.0, abs=1.0)


def test_a_reading_is_kept_with_its_brew_and_drawn_for_the_next(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = write_tape(tmp_path / "1.jsonl", "Ada")
    second = write_tape(tmp_path / "2.jsonl", "Ada", at="2026-01-15T10:30:00+00:00")
    figures = ["--tds", "1.3", "--beverage", "112"]
    assert main(["strength", "--recording", str(first), *figures, "--save"]) == 0
    assert "earlier" not in capsys.readouterr().out
    with Library(library_path()) as library:
        (brew,) = find_brews(library)
        kept = open_brew(library, brew.number)
    assert brew.tape == first.resolve()
    (reading,) = kept.strengths
    assert (reading.strength, reading.strength_error) == pytest.approx((0.013, 0.0003))
    assert reading.beverage_g == 112.0
    assert main(["strength", "--recording", str(second), *figures]) == 0
    assert "earlier" in capsys.readouterr().out


def test_a_reading_that_the_tape_does_not_take_is_kept_all_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: Path, _: object) -> None:
        raise WorkError(f"{path} cannot be written: the disk is full")

    monkeypatch.setattr("pourcoach.library.saying.append_lines", refuse)
    tape = write_tape(tmp_path / "a.jsonl", "Ada")
    argv = ["strength", "--recording", str(tape), "--tds", "1.3", "--beverage", "112", "--save"]
    assert main(argv) == 0
    said = capsys.readouterr().err
    assert said.startswith("pourcoach: it is kept in the library, and not yet on the recording")
    with Library(library_path()) as library:
        (brew,) = find_brews(library)
    assert brew.strength_percent == 1.3


@pytest.mark.parametrize(
    "command", [["strength", "--tds", "1.3", "--beverage", "281"], ["advise", "--taste", "sour"]]
)
def test_a_recording_is_found_by_its_name(
    command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*command, "--recording", "steady", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)
    assert main([*command, "--recording", "nothing-such"]) == 1
    err = capsys.readouterr().err
    assert err.startswith("pourcoach: there is no file nothing-such; name a recording, or one of: ")
    assert err.count("\n") == 1
