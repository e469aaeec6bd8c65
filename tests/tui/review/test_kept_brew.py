"""What is entered about a brew ends up in the library."""

from pathlib import Path

import pytest

from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import MeasuredBrew
from pourcoach.domain.afterwards import RemarkKind
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.inputs import Reading
from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.library import Library, library_path
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.writer import TapeWriter
from pourcoach.tui.review.kept_brew import KeptBrew
from pourcoach.wording.afterwards import afterword_sentence
from tests.reports.made_brew import USUAL_RUBRIC
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


def test_all_that_is_entered_is_found_again(tape: Path) -> None:
    kept = KeptBrew(tape)
    kept.remark(RemarkKind.BED, "crater")
    kept.strength(MeasuredBrew(Measured(20.0), Measured(1.3, 0.03), beverage_g=Measured(280.0)))
    kept.water("mains")
    said = [afterword_sentence(word) for word in kept.impressions()]
    assert said == ["Strength: 1.30 ± 0.03 %, 280 g in the cup", "Bed: crater"]
    with Library(library_path()) as library:
        (brew,) = find_brews(library)
        opened = open_brew(library, brew.number)
    assert (brew.by, brew.water, brew.recorded_at) == ("Ada", "mains", "2026-01-15T09:30:00+00:00")
    assert [(remark.kind, remark.text) for remark in opened.remarks] == [(RemarkKind.BED, "crater")]
    assert [reading.beverage_g for reading in opened.strengths] == [280.0]


def test_of_a_brew_that_nobody_kept_nothing_was_entered(tape: Path) -> None:
    assert KeptBrew(tape).impressions() == ()
    assert not library_path().exists()


def test_advice_rests_on_the_tape_and_on_what_was_entered(tape: Path) -> None:
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


@pytest.mark.parametrize(
    ("name", "begins"),
    [
        ("r.html", b"<!doctype html>"),
        ("r.csv", b"recording,"),
        ("r.json", b'{"recording"'),
        ("r.svg", b"<svg "),
        ("r.PNG", b"\x89PNG"),
        ("r.txt", b"NO WATER"),
    ],
)
def test_a_brew_is_exported_as_its_suffix_says(tape: Path, name: str, begins: bytes) -> None:
    path = KeptBrew(tape).export(name, USUAL_RUBRIC)
    assert path == tape.parent / name
    assert path.read_bytes().startswith(begins)


@pytest.mark.parametrize("name", ["png", ".PNG"])
def test_a_suffix_alone_is_name_enough(tape: Path, name: str) -> None:
    paths = [KeptBrew(tape).export(name, USUAL_RUBRIC) for _ in range(2)]
    assert [path.name for path in paths] == [
        f"{tape.stem}-review.png",
        f"{tape.stem}-review-2.png",
    ]


def test_what_was_said_is_in_the_text(tape: Path) -> None:
    keeper = KeptBrew(tape)
    keeper.remark(RemarkKind.TASTE, "sour")
    assert "Taste: sour\n" in keeper.export("r.txt", USUAL_RUBRIC).read_text(encoding="utf-8")


def test_an_export_never_writes_over_another(tape: Path) -> None:
    keeper = KeptBrew(tape)
    names = []
    for _ in range(2):
        names.append(keeper.export_name())
        keeper.export(names[-1], USUAL_RUBRIC)
    assert names == [f"{tape.stem}-review.html", f"{tape.stem}-review-2.html"]
    with pytest.raises(WorkError, match="is there already"):
        keeper.export(names[0], USUAL_RUBRIC)


def test_an_export_that_cannot_be_written_is_reported(tape: Path) -> None:
    with pytest.raises(WorkError, match="cannot write"):
        KeptBrew(tape).export(str(tape.parent / "gone" / "a.html"), USUAL_RUBRIC)
    with pytest.raises(UsageError, match=r"let the name of the file end in \.html"):
        KeptBrew(tape).export("review", USUAL_RUBRIC)
