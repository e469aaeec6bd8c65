import json
from pathlib import Path

import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.cli.advise import EXAMPLE
from pourcoach.cli.main import main
from pourcoach.domain.afterwards import Afterword, Remark, RemarkKind, StrengthReading
from pourcoach.library.entering import enter_tape, number_of_tape
from pourcoach.library.library import Library, library_path
from pourcoach.library.saying import say
from pourcoach.recordings.tape import TapeHeader

NOW = "2026-01-15T09:30:00+00:00"


def json_of(argv: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    assert main(["advise", *argv, "--json"]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    data: dict[str, object] = json.loads(line)
    return data


def add(library: Library, tape: Path, word: Afterword) -> None:
    assert say(library, number_of_tape(library, tape), [word]) is None


@pytest.mark.parametrize(
    ("argv", "rule", "variable"),
    [
        ("--taste sour", "under", "grind"),
        ("--taste bitter --temperature 99", "over-and-hot", "temperature"),
        ("--taste sour --time 4:30 --planned-time 3:10", "under-and-slow", "turbulence"),
        ("--taste sour --changed finer", "under", "grind"),
        ("--taste thin", "strength-of-two-causes", None),
        ("--taste thin --tds 1.0 --dose 20 --beverage 380", "weak", "ratio"),
        ("--taste sour --changed finer --worse --time 2:00 --planned-time 190",
         "under-and-fast", "pressure"),
        ("--taste sour --fault stall", "pour-first", None),
        ("--taste sour --changed finer --worse", "under", "time"),
        ("--changed finer --worse", "worse", "grind"),
        ("--tds 1.3", "within-errors", None),
        ("--tds 1.3 --dose 20 --beverage 280", "within-errors", None),
        ("--tds 1.1 --dose 20 --beverage 280", "under", "grind"),
        ("--tds 1.45 --aim-strength 1.45", "within-errors", None),
        ("--tds 1.1 --aim-strength 1.45", "strength-of-two-causes", None),
        ("", "taste-first", None),
    ],
)  # fmt: skip
def test_options_give_the_evidence(
    argv: str, rule: str, variable: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    data = json_of(argv.split(), capsys)
    assert (data["rule"], data["variable"]) == (rule, variable)


def test_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["advise", "--taste", "sour", "--why"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "CHANGE ONE THING: grind",
        "  grind one step finer",
        "  it should give a slower draw, more extraction",
        "  too little came out of the coffee",
        "  change nothing else, brew again, and taste the two side by side",
        "",
        "rests on:",
        "- tastes sour",
        "rule: under",
        "source: common practice",
    ]


def test_hotter_water_comes_with_a_caution(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["advise", "--taste", "sour", "--temperature", "85"]) == 0
    assert "burns in about a second" in capsys.readouterr().out


def test_half_a_step_is_said_where_it_turned(capsys: pytest.CaptureFixture[str]) -> None:
    argv = ["--tried", "sour", "--changed", "finer", "--taste", "bitter"]
    assert main(["advise", *argv]) == 0
    assert capsys.readouterr().out.splitlines()[:2] == [
        "CHANGE ONE THING: grind",
        "  grind half a step coarser",
    ]


def test_it_says_that_two_settings_enclose_the_best(capsys: pytest.CaptureFixture[str]) -> None:
    argv = ["--tried", "sour", "finer: bitter", "--changed", "half-coarser", "--taste", "sour"]
    assert main(["advise", *argv, "--why"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("STOP HERE\n  keep this one, or the other: grind half a step finer\n")
    assert "the two settings enclose the best" in out
    assert "- 1 before: tasted bitter; changed: finer" in out
    assert "- 2 before: tasted sour" in out


def test_what_did_harm_is_taken_back_and_another_thing_changed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    argv = ["--tried", "sour", "--changed", "finer", "--taste", "sour", "--worse"]
    assert main(["advise", *argv]) == 0
    assert capsys.readouterr().out.splitlines()[:3] == [
        "CHANGE ONE THING: time",
        "  take the last change back (grind one step coarser), and from there",
        "  wait 10 s longer between pours",
    ]


def test_the_pours_faults_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["advise", "--fault", "stall", "--taste", "sour"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("MEND THE POUR FIRST")
    assert "noted in the pour: " in out


def test_rules_prints_the_whole_table(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["advise", "--rules"]) == 0
    out = capsys.readouterr().out
    assert out.splitlines()[0].startswith(" 1  untested-water")
    assert "within-errors" in out


def test_an_untested_saved_water_comes_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["water", "check", "--source", "well", "--calcium", "68", "--save", "shed"]) == 0
    capsys.readouterr()
    assert json_of(["--taste", "sour", "--brew-water", "shed"], capsys)["rule"] == "untested-water"


def write_tape(file: Path, stall: bool = False, at: str = NOW, by: str | None = None) -> Path:
    """A tape of 128 g on 8 g, lifted when drained; with a stop in mid-pour if asked."""
    plan = work_out(PlanRequest(dose_g=8.0, pours=1, bloom_wait_s=10.0, flow_gps=8.0)).plan
    lines = [json.dumps(TapeHeader(plan=plan, recorded_at=at, by=by).as_dict())]
    lift = 50 + round(10 * plan.finish_s)
    for tick in range(lift + 100):
        brew_s = tick / 10 - 5.0
        if stall and brew_s > 18.0:
            brew_s = max(18.0, brew_s - 4.0)
        grams = plan.target_g(brew_s) if tick < lift else -400.0
        lines.append(json.dumps([tick / 10, round(grams, 1)]))
    file.write_text("\n".join([*lines, json.dumps({"end": lift / 10 + 10.0})]), encoding="utf-8")
    return file


def test_a_recording_with_what_was_kept_beside_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = write_tape(tmp_path / "brew.jsonl")
    earlier = write_tape(tmp_path / "earlier.jsonl", at="2026-01-14T09:30:00+00:00")
    assert json_of(["--recording", str(tape)], capsys)["rule"] == "taste-first"
    with Library(library_path()) as library:
        for kept, strength in ((tape, 0.0115), (earlier, 0.0135)):
            add(library, kept, StrengthReading(strength, 0.0003, 112.0, NOW))
    # 1.15 % of 112 g in 8 g is 16.1 %: surely below 18 %.
    assert json_of(["--recording", str(tape)], capsys)["rule"] == "under"
    with Library(library_path()) as library:
        add(library, tape, Remark(RemarkKind.CHANGE, "coarser", NOW))
    # The one before had 18.9 %: half of the way back.
    data = json_of(["--recording", str(tape), "--before", str(earlier)], capsys)
    assert (data["rule"], data["change"]) == ("under", "half-finer")
    with Library(library_path()) as library:
        add(library, earlier, Remark(RemarkKind.TASTE, "bitter, harsh", NOW))
    assert json_of(["--recording", str(earlier)], capsys)["rule"] == "over"
    # What is said now outranks what was kept.
    printed = json_of(["--recording", str(earlier), "--taste", "balanced"], capsys)
    assert printed["rule"] == "balanced"


def test_it_remembers_the_brews_before(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Sour, finer, bitter: half a step; and sour again there: stop. From the library alone."""
    brews = (
        ("a", "2026-01-15T09:30:00+00:00", "sour", None),
        ("b", "2026-01-15T10:30:00+00:00", "bitter, worse", "finer"),
        # A quarter past nine in one zone may be later than half past nine in another.
        ("c", "2026-01-15T09:15:00-05:00", "sour", "half-coarser"),
    )
    tapes = {
        name: write_tape(tmp_path / f"{name}.jsonl", at=at, by="Ada") for name, at, *_ in brews
    }
    with Library(library_path()) as library:
        for name, at, taste, changed in brews:
            add(library, tapes[name], Remark(RemarkKind.TASTE, taste, at))
            if changed is not None:
                add(library, tapes[name], Remark(RemarkKind.CHANGE, changed, at))
        # Another's brew in between is none of hers.
        other = tmp_path / "other.jsonl"
        enter_tape(library, write_tape(other, at="2026-01-15T11:00:00+00:00", by="Bo"))
    first, second, third = (json_of(["--recording", str(tapes[n])], capsys) for n in "abc")
    assert (first["change"], second["change"]) == ("finer", "half-coarser")
    assert (third["rule"], third["encloses"]) == ("enclosed", "half-finer")
    fresh = json_of(["--recording", str(tapes["c"]), "--new-coffee"], capsys)
    assert fresh["step"] == "change"
    # A tape that was moved away leaves what was kept of it.
    tapes["b"].rename(tmp_path / "elsewhere.jsonl")
    assert json_of(["--recording", str(tapes["c"])], capsys)["rule"] == "enclosed"


@pytest.mark.parametrize(("before", "change"), [("sour", "longer"), ("bitter, worse", None)])
def test_what_the_brew_before_tasted_of_decides(
    before: str, change: str | None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Sour once more after half a step back: it depends on what was stepped back from."""
    old, new = tmp_path / "old.jsonl", tmp_path / "new.jsonl"
    with Library(library_path()) as library:
        for tape, at, taste, changed in (
            (old, "2026-01-15T09:30:00+00:00", before, "finer"),
            (new, "2026-01-15T10:30:00+00:00", "sour", "half-coarser"),
        ):
            add(library, write_tape(tape, at=at), Remark(RemarkKind.TASTE, taste, at))
            add(library, tape, Remark(RemarkKind.CHANGE, changed, at))
    assert json_of(["--recording", str(new)], capsys)["change"] == change


def test_what_was_changed_weeks_ago_is_another_coffee(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new = tmp_path / "old.jsonl", tmp_path / "new.jsonl"
    with Library(library_path()) as library:
        for tape, at, taste in (
            (old, "2026-01-15T09:30:00+00:00", "balanced"),
            (new, "2026-03-15T09:30:00+00:00", "bitter"),
        ):
            write_tape(tape, at=at)
            add(library, tape, Remark(RemarkKind.TASTE, taste, at))
            add(library, tape, Remark(RemarkKind.CHANGE, "finer", at))
    data = json_of(["--recording", str(new)], capsys)
    assert (data["rule"], data["change"]) == ("over", "half-coarser")


def test_a_kept_beverage_that_cannot_be_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = write_tape(tmp_path / "brew.jsonl")
    with Library(library_path()) as library:
        add(library, tape, StrengthReading(0.013, 0.0003, 128.0, NOW))
    assert main(["advise", "--recording", str(tape)]) == 1
    assert "128 g of beverage from 128 g of water" in capsys.readouterr().err


def test_a_faulty_recorded_pour_comes_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = write_tape(tmp_path / "brew.jsonl", stall=True)
    assert json_of(["--recording", str(tape), "--taste", "sour"], capsys)["rule"] == "pour-first"


@pytest.mark.parametrize(
    ("argv", "status", "says"),
    [
        ("--taste purple", 2, "unknown taste 'purple'"),
        ("--time soon", 2, "'soon' is no brew time"),
        ("--time 0", 2, "'0' is no brew time"),
        ("--time 2:99", 2, "'2:99' is no brew time"),
        ("--time 3", 2, "'3' is no brew time; write 3:10 or 190"),
        ("--tds 13", 2, "none of filter coffee"),
        ("--taste sour --aim-strength nan", 2, "argument --aim-strength: 'nan' is no number"),
        ("--dose 20 --beverage 280", 2, "masses alone show no extraction"),
        ("--before x.jsonl", 2, "--before has nothing to come before"),
        ("--brew-water nowhere", 2, "no water is saved"),
        ("--changed grinder", 2, "unknown change 'grinder'"),
        ("--tried sour bitter", 2, "'bitter' does not say what was changed"),
        # Water given as beverage, as in strength: 320 of 320 g cannot drip out of the grounds.
        ("--tds 1.3 --dose 20 --beverage 320 --water 320", 2, "would leave 0.0 g"),
        ("--water 320", 2, "masses alone show no extraction"),
        ("--recording no-such.jsonl", 1, "no-such.jsonl"),
    ],
)
def test_errors_are_one_line(
    argv: str, status: int, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["advise", *argv.split()]) == status
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
    assert err.count("\n") == 1


def test_the_example_works() -> None:
    assert main(EXAMPLE.split()[1:]) == 0
