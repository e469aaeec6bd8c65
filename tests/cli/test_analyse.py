"""``analyse``: the contract of its JSON, many tapes, and tapes that are broken."""

import json
from pathlib import Path

import pytest

from pourcoach.cli.main import main

RECORDINGS = Path(__file__).parent.parent.parent / "recordings"
SHORT = 500
"""Lines of a recording that hold its bloom and the wait."""


def test_json_gives_the_contract(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["analyse", "--json", str(RECORDINGS / "stall.jsonl")]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    printed = json.loads(line)
    assert {"recording", "brew_start_s", "end_s", "water_g", "brew_s"} <= printed.keys()
    assert {"pours", "flags", "marks", "plan", "scale"} <= printed.keys()
    assert set(printed["pours"][0]) == {
        "stage",
        "start_s",
        "end_s",
        "mass_g",
        "poured_g",
        "end_g",
        "mean_flow_gps",
        "start_error_s",
        "end_error_s",
        "mass_error_g",
        "mean_flow_error_gps",
        "flow_cv",
        "flow_cv_error",
        "flow_cv_unjudged",
    }
    (stall,) = [flag for flag in printed["flags"] if flag["kind"] == "stall"]
    assert set(stall) == {"kind", "start_s", "end_s", "stage", "confidence", "evidence", "says"}
    assert stall["says"].endswith(".")


def test_marks_and_notes_are_reported_in_json_and_in_text(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A mark taken back is none."""
    header, *lines = (RECORDINGS / "stall.jsonl").read_text().splitlines(keepends=True)
    keys = {
        30.0: '{"t": 30.0, "input": "mark"}',
        31.0: '{"t": 31.0, "note": "kettle swapped"}',
        32.0: '{"t": 32.0, "input": "mark"}',
        33.0: '{"t": 33.0, "input": "undo"}',
    }
    timed = [(json.loads(line)[0], line) for line in lines if line.startswith("[")]
    timed += [(at_s, f"{line}\n") for at_s, line in keys.items()]
    noted = tmp_path / "noted.jsonl"
    noted.write_text(header + "".join(line for _, line in sorted(timed)))
    assert main(["analyse", "--json", str(noted)]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed["moments"] == [
        {"kind": "mark", "at_s": 30.0},
        {"kind": "note", "at_s": 31.0, "text": "kettle swapped"},
    ]
    assert main(["analyse", str(noted)]) == 0
    text = capsys.readouterr().out
    begun_s = printed["brew_start_s"]
    assert (
        "Marked by key while brewing\n"
        f"  0:{30 - begun_s:02.0f} mark\n  0:{31 - begun_s:02.0f} note: kettle swapped\n"
    ) in text


def test_a_folder_without_tapes_is_a_failure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["analyse", str(tmp_path), "recordings/steady.jsonl"]) == 1
    printed = capsys.readouterr()
    assert printed.err == f"pourcoach: there are no recordings in {tmp_path}\n"
    assert "recordings/steady.jsonl" in printed.out


@pytest.fixture
def classroom(tmp_path: Path) -> Path:
    """Three brews of two people, one of them in a folder of its own."""
    header, *rest = (RECORDINGS / "stall.jsonl").read_text().splitlines(keepends=True)[:SHORT]
    folder = tmp_path / "class"
    for name, by, day in (("a", "Ada", 1), ("monday/b", "Bo", 3), ("monday/c", "Ada", 2)):
        path = folder / f"{name}.jsonl"
        path.parent.mkdir(parents=True, exist_ok=True)
        whose = {"by": by, "recorded_at": f"2026-01-0{day}T09:30:00+00:00"}
        path.write_text(json.dumps(json.loads(header) | whose) + "\n" + "".join(rest))
    return folder


def test_a_folder_gives_one_object_a_tape(
    classroom: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["analyze", "--json", str(classroom)]) == 0
    printed = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert sorted(Path(one["recording"]).stem for one in printed) == ["a", "b", "c"]


def test_a_folder_is_listed_newest_first_with_who_when_and_verdict(
    classroom: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["analyse", str(classroom)]) == 0
    heading, *lines = capsys.readouterr().out.splitlines()
    assert heading.split() == ["WHEN", "WHO", "VERDICT", "MARKS", "WATER", "TIME", "RECORDING"]
    assert [line.split()[:3] for line in lines[:3]] == [
        ["2026-01-03", "09:30", "Bo"],
        ["2026-01-02", "09:30", "Ada"],
        ["2026-01-01", "09:30", "Ada"],
    ]
    assert lines[0].endswith(str(classroom / "monday" / "b.jsonl"))
    figures = lines[0].split()
    assert "of" in figures
    assert "g" in figures
    assert lines[-1].startswith("3 recordings. Name one, or give --details")


@pytest.mark.parametrize(
    ("options", "names"),
    [
        (["--by", "ada"], ["a", "c"]),
        (["--since", "2026-01-02"], ["b", "c"]),
        (["--by", "Ada", "--since", "2026-01-02"], ["c"]),
    ],
)
def test_of_a_folder_some_are_picked(
    options: list[str], names: list[str], classroom: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["analyse", str(classroom), "--json", *options]) == 0
    printed = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert sorted(Path(one["recording"]).stem for one in printed) == names
    assert main(["analyse", str(classroom), "--details", *options]) == 0
    shown = capsys.readouterr().out
    assert shown.count("== ") == len(names)
    assert shown.count("MARKS  ") == len(names)


def test_where_none_is_of_that_person_it_says_so(
    classroom: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["analyse", str(classroom), "--by", "Cy"]) == 1
    assert "no recording is of that person" in capsys.readouterr().err


def test_json_gives_the_bounds_and_what_leads_the_review(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["analyse", "--json", str(RECORDINGS / "stall.jsonl")]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed["headline"] == "KEEP POURING"
    bounds = {one["title"]: (one["least"], one["most"]) for one in printed["marks"]["criteria"]}
    assert bounds["Bloom water"] == (0.8, 1.2)
    assert bounds["No stall"] == (None, 0)


def test_a_broken_tape_keeps_no_other_from_being_reported(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = (RECORDINGS / "stall.jsonl").read_text().splitlines(keepends=True)
    cut = tmp_path / "cut.jsonl"
    cut.write_text("".join(whole[:900]) + "[3.2, ")
    paths = [str(tmp_path / "none.jsonl"), str(cut), str(RECORDINGS / "stall.jsonl")]
    assert main(["analyse", "--json", *paths]) == 1
    said = capsys.readouterr()
    assert [json.loads(line)["recording"] for line in said.out.splitlines()] == paths[1:]
    none, broken = said.err.splitlines()  # what cannot be opened at all comes first
    assert "there is no file" in none
    assert "line 901 is broken" in broken


def test_a_tape_without_a_plan_is_measured_all_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    header, *rest = (RECORDINGS / "stall.jsonl").read_text().splitlines(keepends=True)
    planless = tmp_path / "planless.jsonl"
    planless.write_text(json.dumps(json.loads(header) | {"plan": None}) + "\n" + "".join(rest))
    assert main(["analyse", "--json", str(planless)]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed["plan"] is None
    assert len(printed["pours"]) >= 3


def test_a_tape_in_which_nothing_came(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.jsonl"
    path.write_text('{"pourcoach": 1}\n')
    assert main(["analyse", "--json", str(path)]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert (printed["brew_start_s"], printed["pours"], printed["flags"]) == (None, [], [])


def test_a_tape_can_be_marked_again_by_another_rubric(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rubric = tmp_path / "strict.toml"
    rubric.write_text(
        'name = "strict"\n[limits]\nuneven_cv = 0.01\n'
        '[[criterion]]\ntitle = "Even"\nmeasure = "flow_cv"\nmost = 0.01\n'
    )
    path = str(RECORDINGS / "steady-80hz.jsonl.gz")
    assert main(["analyse", "--json", path]) == 0
    usual = json.loads(capsys.readouterr().out)
    assert main(["analyse", "--json", "--rubric", str(rubric), path]) == 0
    strict = json.loads(capsys.readouterr().out)
    assert usual["marks"]["met"] == usual["marks"]["judged"] > 5
    assert (strict["marks"]["rubric"], strict["marks"]["met"]) == ("strict", 0)
    assert strict["marks"]["judged"] == 3
    assert {flag["kind"] for flag in strict["flags"]} == {"uneven"}


def test_the_usual_rubric_is_shown_and_can_be_used(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["analyse", "--show-rubric"]) == 0
    rubric = tmp_path / "mine.toml"
    rubric.write_text(capsys.readouterr().out)
    path = str(RECORDINGS / "stall.jsonl")
    assert main(["analyse", path]) == 0
    usual = capsys.readouterr().out
    assert main(["analyse", "--rubric", str(rubric), path]) == 0
    assert capsys.readouterr().out == usual
    assert "as it matters (pouring to plan)" in usual


@pytest.mark.parametrize(
    ("argv", "status", "why"),
    [
        (["analyse"], 2, "no recording is named"),
        (["analyse", "x.jsonl", "--since", "May"], 2, "'May' is no date; write it as 2026"),
        (["analyse", "--rubric", "none.toml", "x.jsonl"], 1, "cannot read the rubric none.toml"),
    ],
)
def test_wrong_use_is_one_line(
    argv: list[str], status: int, why: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(argv) == status
    said = capsys.readouterr().err
    assert why in said
    assert said.count("\n") == 1
