import asyncio
import json
from pathlib import Path

import pytest

from pourcoach.cli.main import main
from pourcoach.cli.taste import _ask_all
from pourcoach.tasting.answers import Tasting, read_tasting, tasting_dict
from pourcoach.tasting.method import Method

NEW = ["taste", "new", "--test", "triangle", "--tasters", "6", "--a", "even", "--b", "uneven"]


class Answerer:
    """Plays the person who types the answers in."""

    def __init__(self, *answers: str) -> None:
        self._answers = list(answers)
        self.said: list[str] = []

    def say(self, text: str) -> None:
        self.said.append(text)

    async def ask(self, text: str) -> str:
        self.said.append(text)
        return self._answers.pop(0)


def test_a_sheet_for_each_taster_with_the_cautions_and_no_names(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main([*NEW, "--seed", "7"]) == 0
    sheets, server = capsys.readouterr().out.split("FOR THE SERVER ONLY")
    assert sheets.count("TASTER ") == 6
    for word in ("°C", "holds caffeine", "allergies"):
        assert sheets.count(word) == 6
    assert "even" not in sheets
    assert "A = even" in server
    assert "taster   1" in server


def test_the_same_seed_deals_the_same_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    for _ in range(2):
        assert main([*NEW, "--seed", "7", "--json"]) == 0
    first, second = map(json.loads, capsys.readouterr().out.splitlines())
    assert first == second
    assert set(first["sheets"][0]) == {"taster", "order", "codes"}


def test_without_a_seed_each_tasting_is_another(capsys: pytest.CaptureFixture[str]) -> None:
    for _ in range(2):
        assert main([*NEW, "--json"]) == 0
    first, second = map(json.loads, capsys.readouterr().out.splitlines())
    assert first["seed"] != second["seed"]


def test_result_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert (
        main(["taste", "result", "--test", "triangle", "--correct", "10", "--of", "15", "--json"])
        == 0
    )
    data = json.loads(capsys.readouterr().out)
    assert data["p_value"] == pytest.approx(0.0085, abs=5e-5)
    assert list(data["power_at_pd"]) == ["0.3", "0.4", "0.5"]
    assert data["pd_low"] < data["pd"] < data["pd_high"]
    assert data["says"].startswith("A difference was found: 10 of 15")


def test_nothing_found_says_what_could_have_been(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["taste", "result", "--test", "duo-trio", "--correct", "8", "--of", "12"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "does not show that there is none" in out
    assert "10 were needed" in out


def test_one_tasters_repeats_hold_for_that_taster(capsys: pytest.CaptureFixture[str]) -> None:
    argv = [
        "taste",
        "result",
        "--test",
        "triangle",
        "--correct",
        "10",
        "--of",
        "15",
        "--one-taster",
    ]
    assert main(argv) == 0
    assert "this taster only" in " ".join(capsys.readouterr().out.split())


def test_answers_are_asked_for_and_each_is_kept_at_once(tmp_path: Path) -> None:
    file = tmp_path / "cups.json"
    tasting = Tasting(Method.TRIANGLE, "even", "uneven", tasters=3, seed=7)
    file.write_text(json.dumps(tasting_dict(tasting)))
    first, _, third = tasting.sheets
    answerer = Answerer("0000", first.codes[0], "", third.codes[2])
    asyncio.run(_ask_all(tasting, answerer, file))
    kept = read_tasting(json.loads(file.read_text()))
    assert dict(kept.answers) == {1: first.codes[0], 3: third.codes[2]}
    assert "0000 is none of this taster's codes." in answerer.said
    # Only what is missing is asked for the next time.
    again = Answerer("")
    asyncio.run(_ask_all(kept, again, file))
    assert [line for line in again.said if line.startswith("Taster")] == [
        f"Taster 2 chose ({', '.join(tasting.sheets[1].codes)}):"
    ]


def test_a_tasting_is_kept_and_never_written_over_unasked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "cups.json"
    assert main([*NEW, "--out", str(file)]) == 0
    assert read_tasting(json.loads(file.read_text())).a == "even"
    assert main([*NEW, "--out", str(file)]) == 1
    assert "is there already" in capsys.readouterr().err


@pytest.mark.parametrize(
    "options",
    [
        ["--tasters", "0"],
        ["--tasters", "many"],
        ["--quality", "more sour"],
        ["--seed", "-1"],
        ["--b", "even"],
    ],
)
def test_wrong_use_is_one_line(options: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*NEW, *options]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_file_that_is_no_tasting_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "other.json"
    file.write_text("{}")
    assert main(["taste", "answers", str(file)]) == 1
    assert "other.json: this is no tasting" in capsys.readouterr().err
