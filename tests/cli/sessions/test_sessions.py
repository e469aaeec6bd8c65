"""``pourcoach sessions``: what scripts rely on, and what a user sees when something is wrong."""

import json
import re
import sqlite3
import time
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourcoach.cli.main import main
from pourcoach.cli.sessions import changing
from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.judged import keep_judgement
from pourcoach.library.library import Library, library_path
from pourcoach.library.practice_log import judging_log, log_practice
from pourcoach.places import tapes_folder
from tests.library.made_tapes import MORNING, NOON, make_tape

PROMISED = {
    "id",
    "recording",
    "recorded_at",
    "by",
    "coffee",
    "water_g",
    "brew_s",
    "findings",
    "headline",
    "marks_met",
    "marks_of",
    "strength_percent",
}
HOSTILE = "\x1b[2J\u202eAda<script>alert(1)</script>'; DROP TABLE brew;--[bold]"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))
    return tmp_path


def sessions(line: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    status = main(["sessions", *line.split()])
    said = capsys.readouterr()
    return status, said.out, said.err


def listed(capsys: pytest.CaptureFixture[str], options: str = "") -> list[dict[str, object]]:
    status, out, _ = sessions(f"list --json {options}", capsys)
    assert status == 0
    return [json.loads(line) for line in out.splitlines()]


def test_list_keeps_its_promise(capsys: pytest.CaptureFixture[str]) -> None:
    make_tape(tapes_folder() / "a.jsonl", MORNING, "Ada")
    make_tape(tapes_folder() / "b.jsonl", NOON, "Bo")
    new, old = listed(capsys)
    assert new.keys() >= PROMISED
    assert (new["by"], new["recorded_at"], new["findings"]) == ("Bo", NOON, [])
    assert new["recording"] == str(tapes_folder() / "b.jsonl")
    assert (old["headline"], old["marks_met"], old["marks_of"]) == ("NO WATER", 0, 0)
    assert [brew["by"] for brew in listed(capsys, "--by ada")] == ["Ada"]
    assert listed(capsys, "--since 2026-01-16") == []
    assert listed(capsys, "--finding stall") == []
    assert [brew["by"] for brew in listed(capsys, "--text water")] == ["Bo", "Ada"]


def test_an_empty_list_says_why_it_is_empty(capsys: pytest.CaptureFixture[str]) -> None:
    assert sessions("list", capsys)[1] == "No brew is kept yet.\n"
    assert sessions("list --by Ada", capsys)[1] == "No brew is like that.\n"
    assert sessions("search bloom", capsys)[1] == "No brew is like that.\n"


def test_import_keeps_its_promise(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make_tape(home / "stick" / "a.jsonl")
    make_tape(home / "stick" / "below" / "b.jsonl", NOON)
    status, out, _ = sessions(f"import {home / 'stick'} --by Ada", capsys)
    assert (status, out) == (0, "imported 2, already there 0, refused 0\n")
    (home / "stick" / "bad.jsonl").write_text("no tape")
    status, out, err = sessions(f"import {home / 'stick'} {home / 'stick' / 'a.jsonl'}", capsys)
    assert (status, out) == (1, "imported 0, already there 3, refused 1\n")
    assert err == f"pourcoach: {home / 'stick' / 'bad.jsonl'} is no recording: it is no JSON\n"
    assert {brew["by"] for brew in listed(capsys)} == {"Ada"}


def test_a_brew_is_noted_tagged_named_and_found(
    capsys: pytest.CaptureFixture[str],
) -> None:
    make_tape(tapes_folder() / "a.jsonl")
    listed(capsys)
    note = "note a ripe-plum --acidity 7 --body 5,5 --strength 1.32 --beverage 280 --bed flat"
    assert sessions(f"{note} --coffee Washed", capsys) == (0, "", "")
    assert sessions("tag a --add exam --add even", capsys) == (0, "", "")
    assert sessions("tag a --remove even", capsys) == (0, "", "")
    assert sessions("rename a best", capsys) == (0, "", "")
    (brew,) = listed(capsys, "--tag exam --coffee washed --text plum")
    assert (brew["strength_percent"], brew["title"], brew["tags"]) == (1.32, "best", ["exam"])
    _, out, _ = sessions("show best", capsys)
    for words in ("acidity 7, body 5.5 (of 0 to 10); ripe-plum", "280 g in the cup", "Bed\n"):
        assert words in out
    _, out, _ = sessions("show best --json", capsys)
    (cup,) = json.loads(out)["cup_notes"]
    assert (cup["acidity"], cup["aroma"], cup["most"]) == (7.0, None, 10.0)
    _, out, _ = sessions("search exam", capsys)
    assert "1 brew." in out


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("note a", "there is nothing to note"),
        ("note a --acidity 11", "acidity 11 is not on the scale from 0 to 10"),
        ("note a --acidity 3 --scale 5", "'5' is no scale"),
        ("note a --strength 0", "a strength of 0 % is none of filter coffee"),
        ("note a --strength 13", "a strength of 13 % is none of filter coffee"),
        ("note a --beverage 280", "--beverage alone says no strength"),
        ("note nobody x", "no brew is called 'nobody'"),
        ("tag a", "no tag is named"),
        ("list --finding crooked", "there is no finding 'crooked'; use one of uneven"),
        ("list --since yesterday", "'yesterday' is no date; write it as 2026-01-31"),
        ("rename --person a ", "arguments are required"),
        ("erase --by Ada", "nobody is there to confirm it; give --yes"),
    ],
)
def test_wrong_use_is_said_in_one_line(
    line: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    make_tape(tapes_folder() / "a.jsonl", by="Ada")
    listed(capsys)
    status, out, err = sessions(line, capsys)
    assert (status, out) == (2, "")
    assert says in err
    assert len(err.splitlines()) == 1


def test_delete_restore_and_empty(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    make_tape(tapes_folder() / "a.jsonl")
    make_tape(tapes_folder() / "b.jsonl", NOON)
    assert sessions("delete a b", capsys)[1].startswith("2 brews in the bin")
    assert (listed(capsys), len(listed(capsys, "--bin"))) == ([], 2)
    assert sessions("restore b", capsys)[0] == 0
    assert [Path(str(brew["recording"])).stem for brew in listed(capsys)] == ["b"]
    monkeypatch.setattr(changing.sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(changing.sys.stdin, "readline", lambda: "no\n", raising=False)
    assert sessions("empty", capsys)[0] == 2
    assert len(listed(capsys, "--bin")) == 1
    assert sessions("empty --yes", capsys) == (0, "1 brew deleted for good.\n", "")
    assert (listed(capsys, "--bin"), list((tapes_folder().parent / "bin").iterdir())) == ([], [])


def test_export_and_erase(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make_tape(tapes_folder() / "a.jsonl", by="Ada")
    config = tapes_folder().parent / "config.toml"
    config.write_text('by = "Ada"  # me\nglyphs = "full"\n')
    out = home / "out"
    assert sessions(f"export --by Ada --out {out}", capsys)[:2] == (0, f"wrote 1 brew to {out}\n")
    status, said, _ = sessions("erase --by ada --yes", capsys)
    assert (status, said.splitlines()[0]) == (0, "erased from 1 brew, 1 recording")
    assert config.read_text() == 'glyphs = "full"\n'
    assert sessions("people", capsys) == (0, "", "")
    status, _, err = sessions("erase --by Ada --yes", capsys)
    assert (status, "nobody in the library is called 'Ada'" in err) == (1, True)


def test_who_has_only_practised_is_erased(capsys: pytest.CaptureFixture[str]) -> None:
    log_practice(judging_log(), "Ada", datetime(2026, 3, 2, tzinfo=UTC), {"grades": []})
    status, said, _ = sessions("erase --by Ada --yes", capsys)
    assert (status, said.splitlines()[0]) == (0, "erased from 0 brews, 0 recordings")
    assert judging_log().read_text(encoding="utf-8") == ""


def test_a_library_that_is_damaged_inside_is_said_to_be_once(
    capsys: pytest.CaptureFixture[str],
) -> None:
    make_tape(tapes_folder() / "a.jsonl")
    listed(capsys)
    data = bytearray(library_path().read_bytes())
    data[4096:] = b"\x55" * (len(data) - 4096)
    library_path().write_bytes(data)
    status, _, err = sessions("list", capsys)
    assert (status, err.count("cannot be used"), err.count("sessions rebuild")) == (1, 1, 1)


def test_a_broken_library_is_made_anew_and_kept_aside(
    capsys: pytest.CaptureFixture[str],
) -> None:
    make_tape(tapes_folder() / "a.jsonl", by="Ada")
    sessions("note a plum", capsys)
    library_path().write_bytes(b"no library " * 500)
    status, _, err = sessions("list", capsys)
    assert (status, "'pourcoach sessions rebuild' makes a new one" in err) == (1, True)
    status, out, err = sessions("rebuild", capsys)
    assert (status, out.startswith("1 brew, 1 judged in ")) == (0, True)
    assert "the broken library is kept as" in err
    assert [brew["by"] for brew in listed(capsys, "--text plum")] == ["Ada"]
    assert library_path().with_name("library.sqlite3.broken").exists()


def test_a_locked_library_is_read_all_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    make_tape(tapes_folder() / "a.jsonl", by="Ada")
    assert len(listed(capsys)) == 1
    make_tape(tapes_folder() / "b.jsonl", NOON)
    with closing(sqlite3.connect(library_path(), isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        status, out, err = sessions("list --json", capsys)
        assert (status, len(out.splitlines())) == (0, 1)
        assert "another program is writing to the library" in err
        assert sessions("rename a x", capsys)[0] == 1
    assert len(listed(capsys)) == 2


def test_many_are_judged_on_several_cores(capsys: pytest.CaptureFixture[str]) -> None:
    for number in range(4):
        make_tape(tapes_folder() / f"{number}.jsonl", grams=number)
    began_s = time.monotonic()
    status, out, _ = sessions("rebuild --cores 2", capsys)
    elapsed_s = time.monotonic() - began_s
    said = re.fullmatch(r"4 brews, 4 judged in (\d+\.\d) s\n", out)
    assert said is not None
    assert (status, float(said[1]) <= elapsed_s + 0.1) == (0, True)
    assert {brew["headline"] for brew in listed(capsys)} == {"NO WATER"}


def test_hostile_text_does_nothing_but_show(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tape = make_tape(home / "a.jsonl", by="Ada")
    lines = tape.read_text().splitlines()
    header = json.loads(lines[0]) | {"by": HOSTILE, "scale": {"address": HOSTILE}}
    tape.write_text("\n".join([json.dumps(header), *lines[1:]]))
    assert sessions(f"import {tape}", capsys)[0] == 0
    assert main(["sessions", "note", "a", HOSTILE, "--coffee", HOSTILE]) == 0
    assert main(["sessions", "rename", "a", HOSTILE]) == 0
    for line in ("list", "list --json", "show a", "show a --json", "people", "search script"):
        status, out, err = sessions(line, capsys)
        assert status == 0
        shown = out + err
        assert "\x1b" not in shown
        assert "\u202e" not in shown
        assert "<script>alert(1)</script>" in shown
    assert len(listed(capsys)) == 1


def test_twelve_brews_of_three_students_are_answered_by_one_command_and_one_page(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Who does what wrong: one of them cuts every bloom short. From figures in the library."""
    for number in range(12):
        tape = make_tape(tapes_folder() / f"{number}.jsonl", by="Ada", grams=number)
        if number % 3:
            main(["sessions", "note", str(tape), "--by", ("Ben", "Cy")[number % 3 - 1]])
    listed(capsys)
    short = [
        {"kind": "bloom-short", "stage": "pour 1", "start_s": 9.0, "end_s": 9.5, "confidence": 0.97}
    ]
    with Library(library_path()) as library:
        for brew in find_brews(library):
            judgement = open_brew(library, brew.number).judgement
            assert judgement is not None
            figures = judgement.figures | {
                "brew_start_s": 3.0,
                "flags": short if brew.by == "Ben" else [],
            }
            keep_judgement(library, brew.number, replace(judgement, figures=figures))
    status, out, err = sessions("summary", capsys)
    assert (status, err) == (0, "")
    assert out.startswith("Ben: short bloom in 4 of 4 brews, the others in 0 of 8.\n")
    assert "\n* more than the others, by more than chance (Fisher's exact test" in out
    people = [json.loads(line) for line in sessions("summary --json", capsys)[1].splitlines()]
    assert [(one["by"], one["brews"]) for one in people] == [("Ada", 4), ("Ben", 4), ("Cy", 4)]
    assert people[1]["findings"][0]["more_than_others"] is True
    page = home / "class.html"
    assert main(["report", "--class", "--out", str(page)]) == 0
    assert "Ben: short bloom in 4 of 4 brews, the others in 0 of 8." in page.read_text()


def test_reports_and_analyses_know_who_a_brew_was_given_to(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = make_tape(home / "a.jsonl")
    assert sessions(f"import {tape} --by Ada", capsys)[0] == 0
    assert main(["analyse", str(tape), "--by", "ada", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["by"] == "Ada"
    assert main(["report", "--by", "Cy", "--out", str(home / "cy.html")]) == 1
    assert "sessions people" in capsys.readouterr().err
