"""``brew``, ``replay`` and ``demo`` as lines of text: what is said, left behind and refused."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from pourcoach.cli.main import main
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library, library_path
from pourcoach.library.records import Search
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.tape import read_tape

QUICK = ["--dose", "8", "--pours", "1", "--flow", "8"]
SIMULATED = ["brew", "--plain", "--scale", "sim:steady?seed=2&rate=20&speed=60", *QUICK]


def test_a_brew_says_what_to_do_and_keeps_its_recording(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*SIMULATED, "--by", "Ada", "--brew-water", "demineralised"]) == 0
    said = capsys.readouterr()
    words = [line.split()[3] for line in said.out.splitlines() if line[1:2] == ":"]
    # In this order; on a machine so busy that the fast clock outruns it, SCALE? may come between.
    following = iter(words)
    for word in ("READY", "BLOOM", "STOP", "WAIT", "POUR", "STOP", "DRAIN", "DONE"):
        assert word in following
    (path,) = tapes_in(home / "tapes")
    assert f"The recording is {path}" in said.out
    tape = read_tape(path)
    assert (tape.problem, tape.header.by) == (None, "Ada")
    assert tape.end_s is not None
    with Library(library_path()) as library:
        (brew,) = find_brews(library, Search(by="Ada"))
    assert (brew.tape, brew.water) == (path.resolve(), "demineralised")


def test_the_recording_replays_and_analyses_to_the_same_review(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.jsonl"
    assert main([*SIMULATED, "--tape", str(path)]) == 0
    brewed = capsys.readouterr().out.partition("\n\n")[2].partition("\nThe recording is")[0]
    assert main(["replay", "--plain", str(path)]) == 0
    replayed = capsys.readouterr().out.partition("\n\n")[2]
    assert main(["analyse", str(path)]) == 0
    analysed = capsys.readouterr().out
    assert replayed == analysed
    assert brewed.strip() == analysed.strip()


def test_every_review_marks_by_the_same_rubric(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    house = tmp_path / "house.toml"
    house.write_text(
        'name = "house"\n[limits]\nuneven_cv = 0.01\n'
        '[[criterion]]\ntitle = "Even"\nmeasure = "flow_cv"\nmost = 0.01\n'
    )
    path = tmp_path / "a.jsonl"
    reviews = []
    for argv in (
        [*SIMULATED, "--tape", str(path), "--rubric", str(house)],
        ["replay", "--plain", str(path), "--rubric", str(house)],
        ["analyse", str(path), "--rubric", str(house)],
        ["analyse", str(path)],
        ["analyse", str(path), "--no-config"],
    ):
        assert main(argv) == 0
        said = capsys.readouterr().out.partition("\nThe recording is")[0]
        reviews.append(said[said.rindex("MARKS  ") :].strip())
        home.mkdir(exist_ok=True)
        (home / "rubric.toml").write_bytes(house.read_bytes())
    brewed, replayed, analysed, by_own, by_usual = reviews
    assert brewed == replayed == analysed == by_own
    assert "(house)" in brewed
    assert "(pouring to plan)" in by_usual


def test_the_weight_said_is_the_water_whatever_the_scale_calls_zero(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    recorded = Path("recordings/steady.jsonl").read_text(encoding="utf-8").splitlines()
    resting = next(i for i, line in enumerate(recorded) if line.startswith("[25."))
    path = tmp_path / "tared.jsonl"
    path.write_text(
        "\n".join([*recorded[:resting], '{"t": 25.0, "input": "tare"}', *recorded[resting:]])
    )
    spoken = []
    for tape in ("recordings/steady.jsonl", str(path)):
        assert main(["replay", "--plain", tape]) == 0
        lines = capsys.readouterr().out.splitlines()
        spoken.append([line.split()[:4] for line in lines if line[1:2] == ":"])
    untouched, tared = spoken
    key = ["0:20", "39", "g", "KEY"]
    assert key in tared
    assert [words for words in tared if words != key] == untouched
    assert untouched[-1][3] == "DONE"
    assert float(untouched[-1][1]) > 300


def test_a_tape_is_never_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.jsonl"
    path.write_text("mine")
    assert main([*SIMULATED, "--tape", str(path)]) == 1
    assert "is there already; choose another name" in capsys.readouterr().err
    assert path.read_text() == "mine"


@pytest.mark.parametrize(
    ("argv", "status", "why"),
    [
        (["brew"], 2, "no scale is named"),
        (["brew", "--scale", "wifi:x"], 2, "'wifi:x' is no scale address"),
        (["brew", "--plain", "--scale", "sim:juggler"], 2, "juggler"),
        (["brew", "--plain", "--scale", "sim:steady?speed=0"], 2, "speed=0"),
        (["brew", "--plain", "--scale", "sim:steady?speed=1e9"], 2, "too much; use up to 100"),
        (["brew", "--plain", "--scale", "tape:a.jsonl?speed=1e9"], 2, "too much; use up to 100"),
        (["brew", "--plain", "--scale", "sim:steady?seed=2.5"], 2, "seed=2.5"),
        (["brew", "--plain", "--scale", "sim:steady?sped=2"], 2, "unknown option 'sped'"),
        (
            ["brew", "--plain", "--scale", "sim:steady", "--tape", "none/a.jsonl"],
            1,
            "there is no folder none; make it",
        ),
        (["brew", "--plain", "--scale", "tape:none.jsonl"], 1, "there is no file"),
        (["brew", "--plain", "--scale", "serial:/dev/no-such-port"], 1, "/dev/no-such-port"),
        (["brew", "--scale", "sim:steady", "--dose", "900"], 2, "900"),
        (["brew", "--scale", "sim:steady", "--fresh-lead"], 2, "give --by NAME"),
        (["brew", "--scale", "sim:steady", "--brew-water", "sea"], 2, "no water is saved as 'sea'"),
        (["brew", "--scale", "sim:steady", "--rubric", "no.toml"], 1, "cannot read the rubric no"),
        (["replay", "recordings/stall.jsonl", "--rubric", "no.toml"], 1, "cannot read the rubric"),
        (["demo", "--rubric", "README.md"], 1, "README.md: the rubric is not TOML"),
        (["replay", "none.jsonl"], 1, "there is no file"),
        (["replay", "--speed", "-1", "none.jsonl"], 2, "above 0"),
    ],
)
def test_what_cannot_be_done_is_one_line(
    argv: list[str], status: int, why: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(argv) == status
    said = capsys.readouterr().err
    assert why in said
    assert said.count("\n") == 1
    assert tapes_in(home / "tapes") == []


def test_the_demo_is_a_whole_brew_and_keeps_nothing(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["demo", *QUICK]) == 0
    said = capsys.readouterr().out
    assert "  DONE " in said
    assert "Channeling risk" in said
    assert tapes_in(home / "tapes") == []


def test_settings_give_the_scale_and_the_plan_and_can_be_left_out(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    home.mkdir()
    (home / "config.toml").write_text(
        'scale = "sim:steady?speed=60"\ncolor = 1\n[plan]\ndose_g = 8\npours = 1\n'
    )
    assert main(["brew", "--plain"]) == 0
    said = capsys.readouterr()
    assert "on 8 g" in said.out
    assert "unknown setting 'color'" in said.err
    assert main(["brew", "--plain", "--no-config"]) == 2


@pytest.mark.skipif(os.name != "posix", reason="signals are heard the POSIX way")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_brew_faster_than_this_machine_ends_when_asked(number: signal.Signals) -> None:
    """160 readings a second at a hundredfold speed are more than any machine works out."""
    scale = "sim:steady?speed=100&rate=160"
    command = [sys.executable, "-m", "pourcoach", "brew", "--plain", "--scale", scale]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as brew:
        assert brew.stdout is not None
        brew.stdout.readline()
        brew.send_signal(number)
        rest = brew.communicate(timeout=60)[0]
    assert brew.returncode == 0
    assert "The recording is " in rest
