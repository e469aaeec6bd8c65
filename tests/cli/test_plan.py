import json
from pathlib import Path

import pytest

from pourcoach.cli.main import main
from pourcoach.cli.plan import EXAMPLE
from pourcoach.domain.plan import Plan

USUAL = """\
20 g coffee, 320 g water, 1:16, 94 °C, small-cone

stage    start  pour g  to g  g/s  until
bloom     0:00      40    40  5.0   0:08
pour 1    0:35     140   180  5.0   1:03
pour 2    1:30     140   320  5.0   1:58
drained   3:10
"""


def test_prints_the_table_and_the_curve(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan"]) == 0
    out = capsys.readouterr().out
    assert out.startswith(USUAL)
    *_, axis, _, caution = out.splitlines()
    assert "0:30" in axis
    assert caution.startswith("Caution: water at 94 °C burns")


def test_json_is_one_line_that_reads_back_as_a_plan(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "--json", "--ratio", "12"]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    data = json.loads(line)
    assert Plan.from_dict(data).water_g == 240.0
    assert "1:14-1:20" in data["warnings"][0]


def test_saves_a_file_that_gives_the_same_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(tmp_path / "plan.toml")
    assert main(["plan", "--dose", "24", "--brewer", "large-cone", "--out", file]) == 0
    saved = capsys.readouterr().out
    assert main(["plan", "--plan", file]) == 0
    assert capsys.readouterr().out == saved


def test_why_gives_the_reasons(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "--why", "--roast", "light"]) == 0
    assert "rule of thumb" in capsys.readouterr().out


def test_ice_bypass_and_a_swirl_are_on_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    argv = ["plan", "--ice", "100", "--bypass", "20", "--bloom-then", "swirl"]
    assert main(argv) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith(
        "20 g coffee, 200 g water + 100 g ice + 20 g after the brew, 1:16 in all"
    )
    assert lines[3] == "bloom     0:00      40    40  5.0   0:08  swirl"
    assert "Before: put 100 g of ice into the server, then tare." in lines
    assert "After: add 20 g of water to the cup." in lines
    assert lines[-1].startswith("Caution: hot coffee on ice strains the server")
    assert main([*argv, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["ice_g"], data["bypass_g"], data["water_g"]) == (100.0, 20.0, 200.0)
    assert data["stages"][0]["then"] == "swirl"


def test_an_unknown_key_in_a_plan_file_is_named_with_the_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "morning.toml"
    assert main(["plan", "--out", str(file)]) == 0
    capsys.readouterr()
    file.write_text(file.read_text().replace("brewer =", "brewr ="))
    assert main(["plan", "--plan", str(file)]) == 1
    err = capsys.readouterr().err
    assert err.startswith(f"pourcoach: {file}: the plan file, line 12: brewr is ")


@pytest.mark.parametrize(
    ("argv", "status", "says"),
    [
        (["--dose", "900"], 2, "900 g of coffee"),
        (
            ["--dose", "30", "--water", "450", "--pours", "1", "--flow", "10"],
            2,
            "hot water over the edge scalds",
        ),
        (["--ice", "300"], 2, "300 g of ice and bypass leave 20 g to pour"),
        (["--flow", "0"], 2, "0 g/s"),
        (["--plan", "no-such-plan.toml"], 1, "cannot read the plan file"),
    ],
)
def test_errors_are_one_line_on_standard_error(
    argv: list[str], status: int, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", *argv]) == status
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("pourcoach: ")
    assert says in err
    assert err.count("\n") == 1


def test_a_folder_that_cannot_be_written_is_reported(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", "--out", str(tmp_path / "none" / "plan.toml")]) == 1
    assert "cannot write" in capsys.readouterr().err


def test_the_example_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(EXAMPLE.split()[1:]) == 0
    assert (tmp_path / "morning.toml").exists()
