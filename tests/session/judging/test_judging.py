"""Kept brews judged: as everything else judges them, once for each version and rubric."""

import json
from pathlib import Path

import pytest

from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC, read_rubric
from pourcoach.domain.errors import WorkError
from pourcoach.domain.printable import json_text
from pourcoach.library.brews import find_brews, open_brew, unjudged
from pourcoach.library.judged import judging_version, keep_judgement
from pourcoach.library.library import Library, library_path
from pourcoach.library.looking import look_through
from pourcoach.library.people import learn_reaction, person_called
from pourcoach.library.records import Judgement, Taken
from pourcoach.places import tapes_folder
from pourcoach.session.judging.judge import judge, rubric_version
from pourcoach.session.judging.many import judge_brews
from pourcoach.session.judging.up_to_date import (
    bring_up_to_date,
    judge_beside,
    rebuild,
    sentences,
    waiting,
)
from tests.library.made_tapes import MORNING, NOON, make_tape

RUBRIC = read_rubric(DEFAULT_RUBRIC)
SHIPPED = Path(__file__).parents[3] / "recordings"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def test_a_judgement_is_what_analyse_prints(capsys: pytest.CaptureFixture[str]) -> None:
    from pourcoach.cli.main import main

    tape = SHIPPED / "rushed-bloom.jsonl"
    found = judge(tape, RUBRIC)
    assert main(["analyse", str(tape), "--json", "--no-config"]) == 0
    printed = json.loads(capsys.readouterr().out)
    kept = json.loads(json_text(found.figures))
    assert kept | {"recording": None} == printed | {"recording": None}
    assert [flag["kind"] for flag in kept["flags"]] == ["bloom-short"]
    start_s, _, _ = found.curve[0]
    assert 0.0 <= start_s < 1.0
    assert found.curve[-1][1] == pytest.approx(printed["water_g"], abs=3.0)
    assert len(found.curve) < 2 * printed["brew_s"] + 2
    # A recording that was simulated shows nothing of how a person stops.
    assert found.reaction_s is None


def test_a_brew_is_judged_again_for_another_rubric_only() -> None:
    make_tape(tapes_folder() / "a.jsonl")
    with Library(library_path()) as library:
        bring_up_to_date(library, RUBRIC, lambda _: None)
        assert unjudged(library, judging_version(), rubric_version(RUBRIC)) == []
        other = read_rubric(DEFAULT_RUBRIC.replace("least = 0.8", "least = 0.7"))
        assert rubric_version(other) != rubric_version(RUBRIC)
        assert len(unjudged(library, judging_version(), rubric_version(other))) == 1
        bring_up_to_date(library, other, lambda _: None)
        (brew,) = find_brews(library)
        judgement = open_brew(library, brew.number).judgement
        assert judgement is not None
        assert judgement.rubric == rubric_version(other)


def test_what_is_new_is_reported_once() -> None:
    make_tape(tapes_folder() / "a.jsonl")
    with Library(library_path()) as library:
        reported: list[str] = []
        bring_up_to_date(library, RUBRIC, reported.append)
        bring_up_to_date(library, RUBRIC, reported.append)
    assert reported == ["new among the recordings: a.jsonl"]


def test_any_number_that_waits_is_judged_unasked(monkeypatch: pytest.MonkeyPatch) -> None:
    judged: list[str] = []

    def judge(tape: Path, _: object) -> Judgement:
        judged.append(tape.stem)
        return Judgement(judging_version(), rubric_version(RUBRIC), {"flags": []}, ())

    monkeypatch.setattr("pourcoach.session.judging.many.judge", judge)
    monkeypatch.setattr("os.cpu_count", lambda: 1)
    for number in range(70):
        make_tape(tapes_folder() / f"{number}.jsonl", grams=number)
    with Library(library_path()) as library:
        bring_up_to_date(library, RUBRIC, lambda _: None)
        assert (len(judged), unjudged(library)) == (70, [])


def test_ctrl_c_goes_on_without_what_is_not_judged_yet() -> None:
    for number in range(3):
        make_tape(tapes_folder() / f"{number}.jsonl", grams=number)

    def stop(done: int, _: int) -> None:
        if done == 1:
            raise KeyboardInterrupt

    messages: list[str] = []
    with Library(library_path()) as library:
        bring_up_to_date(library, RUBRIC, messages.append, stop)
        assert len(unjudged(library)) == 2
        assert messages[-1] == "stopped; 2 are not judged yet, or by another version or rubric"


def test_what_was_never_judged_goes_first() -> None:
    for number, at in enumerate((MORNING, NOON)):
        make_tape(tapes_folder() / f"{number}.jsonl", at, grams=number)
    with Library(library_path()) as library:
        look_through(library)
        newest, oldest = find_brews(library)
        keep_judgement(library, newest.number, Judgement("0", "r", {"flags": []}, ()))
        assert [brew.number for brew in waiting(library, RUBRIC)] == [oldest.number, newest.number]


def test_judging_beside_a_screen_is_done_elsewhere_and_stops_when_asked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for number in range(3):
        make_tape(tapes_folder() / f"{number}.jsonl", grams=number)
    monkeypatch.setattr("os.cpu_count", lambda: 1)
    # The other process has the real one.
    monkeypatch.setattr("pourcoach.session.judging.many.judge", None)
    progress: list[tuple[int, int]] = []
    with Library(library_path()) as library:
        look_through(library)
        messages = judge_beside(
            library, RUBRIC, lambda *done: progress.append(done), lambda: len(progress) == 1
        )
        assert (messages, progress, len(unjudged(library))) == ([], [(1, 3)], 2)


def test_a_tape_that_went_away_meanwhile_keeps_no_other_from_being_judged() -> None:
    for number in range(2):
        make_tape(tapes_folder() / f"{number}.jsonl", grams=number)
    progress: list[tuple[int, int]] = []
    with Library(library_path()) as library:
        look_through(library)
        (tapes_folder() / "0.jsonl").unlink()
        brews = find_brews(library)
        failed = judge_brews(library, brews, RUBRIC, lambda *done: progress.append(done))
        assert [(brew.tape.name, "there is no file" in why) for brew, why in failed] == [
            ("0.jsonl", True)
        ]
        assert len(unjudged(library)) == 1
    assert progress == [(1, 2), (2, 2)]


def test_a_lead_that_was_forgotten_with_the_library_is_learnt_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    make_tape(tapes_folder() / "a.jsonl", by="Ada")
    make_tape(tapes_folder() / "b.jsonl", NOON, "Ada")
    make_tape(tapes_folder() / "c.jsonl", NOON, "Bo")
    leads = {"a": 0.5, "b": 0.3, "c": 0.4}

    def judged(tape: Path, _: object) -> Judgement:
        return Judgement("1", "r", {"flags": []}, (), leads[tape.stem])

    monkeypatch.setattr("pourcoach.session.judging.many.judge", judged)
    with Library(library_path()) as library:
        learn_reaction(library, "Bo", 0.2)
    done = rebuild(library_path(), RUBRIC, lambda _: None, cores=1)
    assert (done.brews, done.judged, done.missing, done.failed) == (3, 3, 0, [])
    with Library(library_path()) as library:
        people = [person_called(library, name) for name in ("Ada", "Bo")]
    # By the newest brew; what is known is not written over.
    assert [person and person.reaction_s for person in people] == [0.3, 0.2]


def test_a_library_of_a_later_version_is_not_set_aside() -> None:
    with Library(library_path()) as library, library.changing() as connection:
        connection.execute("PRAGMA user_version = 99")
    with pytest.raises(WorkError, match="made by a later pourcoach"):
        rebuild(library_path(), RUBRIC, lambda _: None)
    assert [path.name for path in library_path().parent.iterdir()] == ["library.sqlite3"]


def test_everything_that_a_look_found_is_said() -> None:
    here, there = Path("/tapes/a.jsonl"), Path("/tapes/b.jsonl")
    names = [Path(f"/tapes/{number}.jsonl") for number in range(5)]
    found = Taken(
        new=names,
        moved=[(here, there)],
        missing=[here],
        back=[there],
        copies=[(there, here), (Path("/tapes/below/a.jsonl"), here)],
        refused=[(name, "it is no recording") for name in names],
    )
    assert sentences(found) == [
        "new among the recordings: 0.jsonl, 1.jsonl, 2.jsonl and 2 more",
        "moved, and known by content: b.jsonl",
        "gone, and what is known of the brew is kept: a.jsonl; put the file back, or delete the"
        " brew",
        "there again: b.jsonl",
        "b.jsonl holds the same brew as a.jsonl; it counts once",
        "/tapes/below/a.jsonl holds the same brew as /tapes/a.jsonl; it counts once",
        "0.jsonl is left out: it is no recording",
        "1.jsonl is left out: it is no recording",
        "2.jsonl is left out: it is no recording",
        "2 more files are copies or no recordings",
    ]


def test_several_processes_judge_as_one_does() -> None:
    for number in range(4):
        make_tape(tapes_folder() / f"{number}.jsonl", grams=number)
    found = []
    for cores in (1, 2):
        done = rebuild(library_path(), RUBRIC, lambda _: None, cores=cores)
        assert (done.judged, done.failed) == (4, [])
        with Library(library_path()) as library:
            brews = find_brews(library)
            found.append([open_brew(library, brew.number).judgement for brew in brews])
    assert found[0] == found[1]
