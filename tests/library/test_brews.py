"""Brews asked for by what is known of them."""

import os
from datetime import date
from pathlib import Path

import pytest

from pourcoach.domain.afterwards import Fact, FactKind, Remark, RemarkKind, StrengthReading, Tag
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.library.brews import (
    COLUMNS,
    brew_called,
    brew_on,
    count_brews,
    find_brews,
    judged_brews,
    open_brew,
    unjudged,
)
from pourcoach.library.entering import enter_tape
from pourcoach.library.judged import keep_judgement, packed_curve, unpacked_curve
from pourcoach.library.library import Library
from pourcoach.library.records import Judgement, Search
from pourcoach.library.saying import say
from tests.library.made_tapes import MORNING, NOON, make_tape

FLAG = {"kind": "bloom-short", "stage": "pour 1", "start_s": 9.0, "confidence": 0.97, "says": "x"}
FIGURES = {
    "water_g": 319.6,
    "brew_s": 190.0,
    "headline": "LET IT BLOOM",
    "flags": [FLAG, FLAG],
    "by": None,
    "marks": {
        "met": 11,
        "judged": 12,
        "criteria": [
            {
                "title": "Bloom wait",
                "measure": "bloom_wait_off_s",
                "least": -5.0,
                "most": float("inf"),
                "stage": None,
                "value": -9.0,
                "met": False,
                "weight": 1.0,
            }
        ],
    },
}
JUDGED = Judgement("1+a", "rubric+b", FIGURES, ((0.0, 0.0, 0.0), (0.5, 2.5, 5.0)))


@pytest.fixture
def full(library: Library, tapes: Path) -> Library:
    """Ada at noon, with much that is known; Bo in the morning; one in between by nobody."""
    first = enter_tape(library, make_tape(tapes / "ada.jsonl", NOON, "Ada")).number
    enter_tape(library, make_tape(tapes / "bo.jsonl", MORNING, "Bo"))
    enter_tape(library, make_tape(tapes / "x.jsonl", "2026-01-15T12:30:00+02:00"))
    words = [
        Fact(FactKind.COFFEE, "Washed 7", NOON),
        Fact(FactKind.TITLE, "50 % better", NOON),
        Tag("exam", NOON),
        Tag("Even", NOON),
        Remark(RemarkKind.NOTE, "Ripe PLÜM", NOON),
        StrengthReading(0.0132, 0.0003, 280.0, NOON),
    ]
    assert say(library, first, words) is None
    keep_judgement(library, first, JUDGED)
    return library


def test_the_newest_comes_first_whatever_the_zone(full: Library) -> None:
    assert [brew.tape.stem for brew in find_brews(full)] == ["ada", "x", "bo"]
    assert [brew.tape.stem for brew in find_brews(full, most=1, skip=1)] == ["x"]


@pytest.mark.parametrize(
    ("search", "found"),
    [
        (Search(by="ada"), 1),
        (Search(by="Cy"), 0),
        (Search(coffee="washed 7"), 1),
        (Search(tag="EXAM"), 1),
        (Search(tag="no"), 0),
        (Search(finding="bloom-short"), 1),
        (Search(finding="stall"), 0),
        (Search(since=date(2026, 1, 16)), 0),
        (Search(since=date(2026, 1, 14)), 3),
        (Search(until=date(2026, 1, 14)), 0),
        (Search(text="plüm"), 1),
        (Search(text="PLÜM washed let"), 1),
        (Search(text="plüm bo"), 0),
        (Search(text="50 %"), 1),
        (Search(text="_"), 0),
        (Search(text="2026-01-15"), 3),
        (Search(text="'; DROP TABLE brew; --"), 0),
        (Search(binned=True), 0),
        (Search(by="Ada", tag="exam", finding="bloom-short", text="plüm"), 1),
    ],
)
def test_brews_are_found_by_all_that_is_asked(full: Library, search: Search, found: int) -> None:
    assert len(find_brews(full, search)) == found
    assert count_brews(full, search) == found


def test_a_list_shows_what_is_known(full: Library) -> None:
    brew = find_brews(full)[0]
    assert (brew.by, brew.coffee, brew.title) == ("Ada", "Washed 7", "50 % better")
    assert (brew.tags, brew.strength_percent) == (("Even", "exam"), 1.32)
    assert (brew.findings, brew.headline) == (("bloom-short",), "LET IT BLOOM")
    assert (brew.marks_met, brew.marks_of, brew.judged_by) == (11, 12, "1+a")
    assert (brew.water_g, brew.brew_s) == (319.6, 190.0)


def test_an_opened_brew_has_all_of_it(full: Library) -> None:
    brew = find_brews(full)[0]
    opened = open_brew(full, brew.number)
    assert opened.judgement is not None
    assert opened.judgement.curve == JUDGED.curve
    assert opened.judgement.figures["marks"]["met"] == 11
    assert [reading.beverage_g for reading in opened.strengths] == [280.0]
    with pytest.raises(WorkError, match="not in the library any more"):
        open_brew(full, 99)


def test_judged_brews_have_the_name_that_is_known(full: Library) -> None:
    ((brew, judgement),) = judged_brews(full)
    assert judgement.figures["by"] == brew.by == "Ada"
    assert judgement.figures["recording"] == str(brew.tape)


def test_what_another_version_judged_is_to_be_judged_again(full: Library) -> None:
    assert len(unjudged(full)) == 2
    assert len(unjudged(full, "1+a", "rubric+b")) == 2
    assert len(unjudged(full, "2+a", "rubric+b")) == 3
    assert len(unjudged(full, "1+a", "other+b")) == 3


def test_a_brew_is_called_by_many_names(full: Library, tapes: Path) -> None:
    brew = find_brews(full)[0]
    names = [brew.id, brew.id[:6].upper(), str(brew.tape), "ada", "ada.jsonl", "50 % BETTER"]
    assert [brew_called(full, name).number for name in names] == [brew.number] * 6
    for name in ("", "%", "no", "../../etc/passwd", "da"):
        with pytest.raises(UsageError, match="no brew is called"):
            brew_called(full, name)
    make_tape(tapes / "below" / "ada.jsonl", MORNING, "Cy")
    enter_tape(full, tapes / "below" / "ada.jsonl")
    with pytest.raises(UsageError, match="2 brews are called 'ada'; name one by its id: "):
        brew_called(full, "ada")


def test_a_copy_that_was_never_seen_is_the_same_brew(full: Library, tmp_path: Path) -> None:
    brew = find_brews(full)[0]
    copy = tmp_path / "copy.jsonl"
    copy.write_bytes(brew.tape.read_bytes())
    assert brew_on(full, copy) == brew
    assert brew_on(full, tmp_path / "none.jsonl") is None


def test_a_curve_is_kept_to_what_a_scale_resolves() -> None:
    curve = tuple((0.5 * i, 1.23 * i, 4.567) for i in range(400))
    packed = packed_curve(curve)
    assert len(packed) < 3000
    for point, again in zip(curve, unpacked_curve(packed), strict=True):
        assert again == pytest.approx(point, rel=1e-6)
    assert unpacked_curve(b"rubbish") == ()


@pytest.mark.skipif(os.name != "posix", reason="names are bytes there")
def test_a_tape_whose_name_is_no_text_is_kept_like_any(library: Library, tapes: Path) -> None:
    tape = make_tape(tapes / os.fsdecode(b"caf\xe9.jsonl"))
    number = enter_tape(library, tape).number
    assert say(library, number, [Remark(RemarkKind.NOTE, "x", NOON)]) is None
    assert [brew.tape for brew in find_brews(library)] == [tape]


def test_a_list_reads_no_figures(full: Library) -> None:
    with full.asking() as connection:
        plan = connection.execute(
            f"EXPLAIN QUERY PLAN {COLUMNS} ORDER BY recorded_s DESC"
        ).fetchall()
    steps = [step for *_, step in plan]
    assert any("judgement USING COVERING INDEX judgement_in_list" in step for step in steps)
    assert "SCAN brew USING INDEX brew_by_time" in steps
