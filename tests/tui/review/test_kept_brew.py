"""What is told of a brew ends up in the library."""

from pathlib import Path

import pytest

from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import MeasuredBrew
from pourcoach.domain.afterwards import RemarkKind
from pourcoach.domain.errors import WorkError
from pourcoach.domain.inputs import Reading
from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.library import Library, library_path
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.writer import TapeWriter
from pourcoach.tui.review.kept_brew import KeptBrew
from tests.tui.made_frames import PLAN

RECORDINGS = Path(__file__).parents[3] / "recordings"


@pytest.fixture
def tape(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A recording that no library knows."""
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    path = tmp_path / "given.jsonl"
    header = TapeHeader(
        plan=PLAN,
        recorded_at="2026-01-15T09:30:00+00:00",
        by="Ada",
    )
    writer = TapeWriter(path, header)
    writer.append(Reading(0.1, 0.0))
    writer.finish(0.2)
    writer.close()
    return path


def test_all_that_is_told_is_found_again(tape: Path) -> None:
    kept = KeptBrew(tape)
    kept.remark(RemarkKind.BED, "crater")
    kept.strength(MeasuredBrew(Measured(20.0), Measured(1.3, 0.03), beverage_g=Measured(280.0)))
    kept.water("mains")
    assert [remark.text for remark in kept.remarks()] == ["crater"]
    with Library(library_path()) as library:
        (brew,) = find_brews(library)
        opened = open_brew(library, brew.number)
    assert (brew.by, brew.water, brew.recorded_at) == ("Ada", "mains", "2026-01-15T09:30:00+00:00")
    assert [(remark.kind, remark.text) for remark in opened.remarks] == [(RemarkKind.BED, "crater")]
    assert [reading.beverage_g for reading in opened.strengths] == [280.0]


def test_of_a_brew_that_nobody_kept_nothing_was_told(tape: Path) -> None:
    assert KeptBrew(tape).remarks() == ()
    assert not library_path().exists()


def test_advice_rests_on_the_tape_and_on_what_was_told(tape: Path) -> None:
    with pytest.raises(WorkError, match="nothing was poured"):
        KeptBrew(tape).advice()
    brewed = tape.with_name("brewed.jsonl")
    brewed.write_bytes((RECORDINGS / "steady.jsonl").read_bytes())
    kept = KeptBrew(brewed)
    kept.remark(RemarkKind.TASTE, "sour")
    assert any("sour" in line for line in kept.advice())


def test_other_brews_of_the_same_brewer_are_the_earlier_ones(tape: Path) -> None:
    assert KeptBrew(tape).earlier() == []
    other = tape.with_name("other.jsonl")
    other.write_bytes(tape.read_bytes().replace(b"09:30", b"09:40"))
    KeptBrew(other).strength(
        MeasuredBrew(Measured(20.0), Measured(1.25, 0.03), beverage_g=Measured(280.0))
    )
    assert KeptBrew(tape).earlier() == [(pytest.approx(17.5), pytest.approx(1.25))]


def test_an_export_never_writes_over_another(tmp_path: Path) -> None:
    keeper = KeptBrew(tmp_path / "a.jsonl")
    first, second = keeper.export(["one"]), keeper.export(["two", "more"])
    assert (first.name, second.name) == ("a-review.txt", "a-review-2.txt")
    assert (first.read_text(), second.read_text()) == ("one\n", "two\nmore\n")


def test_an_export_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(WorkError, match="cannot write"):
        KeptBrew(tmp_path / "gone" / "a.jsonl").export(["one"])
