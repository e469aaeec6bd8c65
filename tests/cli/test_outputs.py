"""Whatever a command writes, it writes over nothing unasked."""

import json
from pathlib import Path

import pytest

from pourcoach.cli.main import DONE, FAILED, main
from pourcoach.library.water_shelf import saved_water

PLAN = ["plan", "--dose", "20", "--out"]
SIMULATE = ["simulate", "--dose", "12", "--pours", "1", "--out"]
CHECK = ["check", "--from", "record.json", "--out"]


@pytest.fixture(autouse=True)
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    loads = [{"true_g": g, "shown": g, "noise": 0.01, "readings": 20} for g in (0.0, 100.0, 500.0)]
    Path("record.json").write_text(json.dumps({"pourcoach_check": 1, "loads": loads}))


@pytest.mark.parametrize("argv", [PLAN, CHECK, SIMULATE])
def test_a_file_that_is_there_is_left_alone(
    argv: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    mine = Path("mine.jsonl")
    mine.write_text("mine")
    assert main([*argv, "mine.jsonl"]) == FAILED
    assert "mine.jsonl is there already; choose another name" in capsys.readouterr().err
    assert mine.read_text() == "mine"


@pytest.mark.parametrize("argv", [PLAN, CHECK])
def test_it_is_written_over_when_asked(argv: list[str]) -> None:
    mine = Path("mine.txt")
    mine.write_text("mine")
    assert main([*argv, "mine.txt", "--force"]) != 2
    assert mine.read_text() != "mine"


@pytest.mark.parametrize(("former", "argv"), [("--save", PLAN[:-1]), ("--report", CHECK[:-1])])
def test_former_spellings_are_taken_and_not_shown(
    former: str, argv: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*argv, former, "new.txt"]) != 2
    assert Path("new.txt").exists()
    with pytest.raises(SystemExit):
        main([argv[0], "--help"])
    assert f" {former} " not in capsys.readouterr().out


def test_a_water_is_added_to_corrected_by_its_name_and_replaced_only_when_asked(
    capsys: pytest.CaptureFixture[str],
) -> None:
    check = ["water", "check"]
    assert main([*check, "--source", "well", "--alkalinity", "90", "--save", "home"]) == DONE
    assert main([*check, "--ph", "7.4", "--save", "home"]) == DONE
    assert main([*check, "home", "--alkalinity", "95", "--save", "home"]) == DONE
    home = saved_water("home")
    assert (home.ph, home.alkalinity_mgl) == (7.4, 95.0)
    capsys.readouterr()
    assert main([*check, "--alkalinity", "20", "--save", "home"]) == FAILED
    assert "'home' is saved with another alkalinity" in capsys.readouterr().err
    assert saved_water("home") == home
    assert main([*check, "--alkalinity", "20", "--save", "home", "--force"]) == DONE
    assert saved_water("home").ph is None
