import json
from pathlib import Path

import pytest

from pourcoach.cli.main import DONE, FAILED, WRONG_USE, main
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Arrangement
from pourcoach.recordings.tape import read_tape
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.faults import Lift, Stall
from pourcoach.simulation.scale.scale_model import ScaleModel

SHORT = ["--dose", "12", "--ratio", "15", "--pours", "2"]


def test_the_tape_is_the_brew_and_the_truth_lies_beside_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "a.jsonl"
    orders = ["--fault", "stall:stage=1,lasts_s=2.5", "--fault", "lift:brew_s=100"]
    scale = ["--rate", "20", "--resolution", "0.05", "--noise", "0.02"]
    argv = ["simulate", "--out", str(out), "--seed", "7", *orders, *scale, *SHORT]
    assert main(argv) == DONE

    tape = read_tape(out)
    assert tape.problem is None
    assert tape.header.plan is not None
    brew = SimulatedBrew(
        tape.header.plan,
        "steady",
        7,
        ScaleModel(rate_hz=20, resolution_g=0.05, noise_g=0.02),
        faults=[Stall(1, lasts_s=2.5), Lift(100)],
    )
    until_drained = brew.run()
    assert list(tape.inputs[: len(until_drained)]) == until_drained
    assert tape.end_s is not None
    assert list(tape.inputs[len(until_drained) :]) == brew.advance_to(tape.end_s)
    assert tape.inputs[-1].grams < -100.0  # the brewer is lifted off
    assert tape.header.scale == {
        "address": "sim:steady?seed=7&model=kitchen&rate=20&resolution=0.05&noise=0.02",
        "rate_hz": 20.0,
        "resolution_g": 0.05,
    }

    truth_path = tmp_path / "a.jsonl.truth.json"
    truth = json.loads(truth_path.read_text())
    assert [fault["kind"] for fault in truth["faults"]] == ["lifted", "stall"]
    assert truth["poured_g"][-1] == pytest.approx(brew.truth.poured[-1], abs=0.01)
    assert sum(truth["flow_gps"]) * truth["step_s"] == pytest.approx(truth["poured_g"][-1], abs=0.1)
    assert capsys.readouterr().out == f"wrote {truth_path}\nwrote {out}\n"
    assert main(argv) == FAILED
    assert "is there already" in capsys.readouterr().err


def test_a_truth_that_cannot_be_written_leaves_no_tape(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "a.jsonl"
    argv = ["simulate", "--out", str(out), "--truth", str(tmp_path / "none" / "t.json"), *SHORT]
    assert main(argv) == FAILED
    assert "t.json: there is no such file or folder" in capsys.readouterr().err
    assert not out.exists()


def test_a_packed_tape_without_truth(tmp_path: Path) -> None:
    out = tmp_path / "a.jsonl.gz"
    argv = ["simulate", "--out", str(out), "--no-truth", "--arrangement", "server-on-scale"]
    assert main([*argv, *SHORT]) == DONE
    tape = read_tape(out)
    assert tape.header.setup.arrangement is Arrangement.SERVER_ON_SCALE
    assert all(isinstance(item, Reading) for item in tape.inputs)
    assert list(tmp_path.iterdir()) == [out]


@pytest.mark.parametrize(
    ("options", "complaint"),
    [
        (["--fault", "spill:stage=1"], "no fault is called 'spill'; there are uneven, stall"),
        (["--fault", "stall:stage=9"], "the plan has no stage 9; its stages count from 0 to 2"),
        (["--fault", "stall:stage=one"], "stage of stall is 'one', not a number"),
        (["--fault", "stall:size=1"], "stall has no 'size'; write it as stall:stage,lasts_s"),
        (["--fault", "stall:stage=1,lasts_s=0"], "lasts_s of stall is 0; use a number from 0.01"),
        (["--fault", "knock:brew_s=nan"], "brew_s of knock is 'nan', not a number"),
        (
            ["--fault", "stall:stage=1,lasts_s=1000000000"],
            "lasts_s of stall is 1e+09; use a number",
        ),
        (["--fault", "start:stage=1,off_s=1000000"], "off_s of start is 1e+06; use a number from"),
        (
            ["--fault", "landing:stage=1,off_g=1000000000"],
            "off_g of landing is 1e+09; use a number",
        ),
        (["--seed", "-1"], "'-1' is no whole number"),
        (["--seed", "9" * 5000], "is no whole number from 0 to"),
        (["--fault", "landing:stage=1"], "landing needs off_g"),
        (["--rate", "1000"], "the simulated scale's rate_hz is 1000"),
        (["--profile", "robot"], "invalid choice: 'robot'"),
    ],
)
def test_a_wrong_option_is_reported_in_one_line(
    options: list[str], complaint: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    argv = ["simulate", "--out", str(tmp_path / "a.jsonl"), *SHORT, *options]
    assert main(argv) == WRONG_USE
    printed = capsys.readouterr().err
    assert complaint in printed
    assert printed.count("\n") == 1


def test_no_tape_is_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "a.jsonl"
    assert main(["simulate", "--out", str(out), "--no-truth", *SHORT]) == DONE
    assert main(["simulate", "--out", str(out), "--no-truth", *SHORT]) == FAILED
    assert "is there already" in capsys.readouterr().err
