"""``report``: a file of each kind, and what is said where there can be none."""

import csv
import io
import json
from pathlib import Path

import pytest

from pourcoach.cli.main import DONE, FAILED, WRONG_USE, main
from tests.reports.hostile import hostile_recording


def _written(out: Path, *recordings: str) -> bytes:
    assert main(["report", *recordings, "--out", str(out)]) == DONE
    return out.read_bytes()


@pytest.mark.parametrize(
    ("suffix", "begins"),
    [
        (".html", b"<!doctype html>"),
        (".svg", b"<svg "),
        (".png", b"\x89PNG\r\n"),
        (".csv", b"recording,recorded_at,by,"),
        (".json", b'{"recording": '),
        (".HTML", b"<!doctype html>"),
    ],
)
def test_the_suffix_says_what_is_written(suffix: str, begins: bytes, tmp_path: Path) -> None:
    made = hostile_recording(tmp_path, "bloom")
    assert _written(tmp_path / f"report{suffix}", str(made)).startswith(begins)


@pytest.mark.parametrize("suffix", [".html", ".svg", ".png"])
def test_two_are_set_side_by_side(suffix: str, tmp_path: Path) -> None:
    made = str(hostile_recording(tmp_path, "bloom"))
    one = _written(tmp_path / f"one{suffix}", made)
    two = _written(tmp_path / f"two{suffix}", made, made)
    assert one[:8] == two[:8]
    assert one != two


def test_analyse_compares_in_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = str(hostile_recording(tmp_path, "bloom"))
    assert main(["analyse", "--compare", made, made]) == DONE
    assert "No difference is larger than the error of measurement" in capsys.readouterr().out
    assert main(["analyse", "--compare", "--json", made, made]) == DONE
    printed = json.loads(capsys.readouterr().out)
    assert [brew["letter"] for brew in printed["brews"]] == ["A", "B"]
    assert printed["parts"][0]["rows"][0]["differences"][0]["is_seen"] is False
    assert main(["analyse", "--compare", made]) == WRONG_USE
    assert "1 recordings cannot be set side by side" in capsys.readouterr().err


def _kept(home: Path, name: str, by: str) -> None:
    made = hostile_recording(home.parent, "bloom")
    header, _, rest = made.read_text().partition("\n")
    tapes = home / "tapes"
    tapes.mkdir(parents=True, exist_ok=True)
    printed = json.loads(header) | {"by": by, "recorded_at": "2026-01-15T09:30:00+00:00"}
    (tapes / f"{name}.jsonl").write_text(f"{json.dumps(printed)}\n{rest}")


def test_a_person_and_a_class_are_of_what_is_kept(
    tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, by in (("one", "Ada"), ("two", "ada"), ("three", "Ben")):
        _kept(home, name, by)
    person = _written(tmp_path / "ada.html", "--by", "ADA").decode()
    assert "<span>2 brews</span>" in person
    assert "are too few for a trend" in person
    whole = _written(tmp_path / "class.html", "--class").decode()
    assert "3 brews by 2 people" in whole
    some = _written(tmp_path / "some.html", "--class", "Ben, Nobody").decode()
    assert "1 brew by 1 person" in some
    assert _written(tmp_path / "class.csv", "--class").count(b"\r\n") == 7
    capsys.readouterr()
    for argv, says in (
        (["--by", "Cleo"], "there is nothing to report"),
        (["--by", "Ada", "--class"], "leave one of them out"),
    ):
        assert main(["report", *argv, "--out", str(tmp_path / "no.html")]) in (FAILED, WRONG_USE)
        assert says in capsys.readouterr().err
    assert main(["report", "--class", "--out", str(tmp_path / "no.svg")]) == WRONG_USE
    assert "end in .html, .csv, .json" in capsys.readouterr().err
    assert main(["report", "--by", "Ada", "--out", str(tmp_path / "no.svg")]) == WRONG_USE
    assert "give no curve over time" in capsys.readouterr().err


def test_a_comma_too_many_names_nobody(tmp_path: Path, home: Path) -> None:
    _kept(home, "one", "Ada")
    _kept(home, "two", "")
    tapes = str(home / "tapes")
    for recordings in ([], [tapes]):
        page = _written(tmp_path / f"{len(recordings)}.html", *recordings, "--class", "Ada,")
        assert "1 brew by 1 person" in page.decode()


def test_a_kept_brew_is_found_by_its_id(
    tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _kept(home, "one", "Ada")
    assert main(["sessions", "list", "--json"]) == DONE
    brew = json.loads(capsys.readouterr().out)
    page = _written(tmp_path / "by-id.html", brew["id"]).decode()
    assert "<h1>one</h1>" in page
    assert main(["report", "0000dead", "--out", str(tmp_path / "no.html")]) == FAILED
    assert "there is no file 0000dead" in capsys.readouterr().err


def test_a_kept_brew_whose_recording_is_gone_is_said_to_be(
    tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _kept(home, "steady", "Ada")
    assert main(["sessions", "list", "--json"]) == DONE
    brew = json.loads(capsys.readouterr().out)
    Path(brew["recording"]).unlink()
    assert main(["sessions", "list"]) == DONE
    assert main(["report", brew["id"], "--out", str(tmp_path / "a.html")]) == FAILED
    assert f"the recording of {brew['id']} is gone: " in capsys.readouterr().err


def test_json_is_what_analyse_prints(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = hostile_recording(tmp_path, "bloom")
    written = json.loads(_written(tmp_path / "report.json", str(made)))
    capsys.readouterr()
    assert main(["analyse", str(made), "--json"]) == DONE
    assert written == json.loads(capsys.readouterr().out)
    assert written["pours"][1]["mass_error_g"] > 0


def test_csv_has_a_row_a_stage_with_numbers_as_numbers(tmp_path: Path) -> None:
    made = hostile_recording(tmp_path, "bloom")
    text = _written(tmp_path / "report.csv", str(made)).decode()
    assert text.count("\r\n") == 3
    first, second = csv.DictReader(io.StringIO(text, newline=""))
    assert (first["stage"], second["stage"]) == ("bloom", "pour")
    assert float(second["stage_end_g"]) == pytest.approx(100.0, abs=0.5)
    assert float(second["stage_start_s"]) == pytest.approx(20.0, abs=0.5)


@pytest.mark.parametrize(
    ("argv", "status", "says"),
    [
        (["--out", "x.html"], WRONG_USE, "no recording is named"),
        (["stall", "--out", "x.pdf"], WRONG_USE, "let the name of the file end in .html, .csv"),
        (["stall", "--out", "x"], WRONG_USE, "a file without a suffix"),
        (["nowhere", "--out", "x.html"], FAILED, "there is no file nowhere"),
        (["stall"], WRONG_USE, "--out"),
    ],
)
def test_what_cannot_be_is_said(
    argv: list[str],
    status: int,
    says: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["report", *argv]) == status
    assert says in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_written_over_unasked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = hostile_recording(tmp_path, "bloom")
    out = tmp_path / "report.json"
    out.write_text("mine")
    argv = ["report", str(made), "--out", str(out)]
    assert main(argv) == FAILED
    assert "is there already" in capsys.readouterr().err
    assert out.read_text() == "mine"
    assert main([*argv, "--force"]) == DONE
    assert out.read_text().startswith("{")


def test_a_broken_recording_is_said_and_the_rest_reported(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = hostile_recording(tmp_path, "bloom")
    broken = tmp_path / "broken.jsonl"
    broken.write_text(made.read_text()[:5000] + "\n[1, ")
    out = tmp_path / "report.csv"
    assert main(["report", str(made), str(broken), "--out", str(out)]) == FAILED
    assert "broken.jsonl: line" in capsys.readouterr().err
    assert "broken.jsonl" in out.read_text()
