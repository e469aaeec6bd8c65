"""A brew marked by eye before its figures."""

import io
import json
from pathlib import Path

import pytest

from pourcoach.cli.main import DONE, FAILED, WRONG_USE, main

STEADY = Path(__file__).parents[2] / "recordings" / "steady.jsonl"
ARGS = ["practise", "judge", str(STEADY), "--by", "Ada"]


def _typed(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(text))


def test_figures_come_after_all_grades_and_are_kept(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _typed(monkeypatch, "3\n" * 10 + "1\n" * 20)
    assert main(ARGS) == DONE
    out = capsys.readouterr().out
    assert out.index("the scale") > out.rindex("? ")
    assert "differs" in out
    assert "weighted kappa of" in out
    (line,) = (home / "judged.jsonl").read_text(encoding="utf-8").splitlines()
    kept = json.loads(line)
    assert kept["by"] == "Ada"
    assert {row[2] for row in kept["grades"]} == {0, 2}


def test_a_brew_not_marked_to_its_end_is_not_kept_and_shows_no_figure(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _typed(monkeypatch, "3\n")
    assert main(ARGS) == FAILED
    assert "the scale met" not in capsys.readouterr().out
    assert not (home / "judged.jsonl").exists()


def test_what_is_no_grade_is_asked_again(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _typed(monkeypatch, "good\n" + "3\n" * 40)
    assert main(ARGS) == DONE
    out = capsys.readouterr().out
    assert "'good' is no grade" in out
    assert "Too little to tell" in out


def test_without_a_brew_it_is_wrong_use() -> None:
    assert main(["practise", "judge"]) == WRONG_USE
