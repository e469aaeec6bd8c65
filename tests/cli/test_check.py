import json

import pytest

from pourcoach.cli.main import DONE, FAILED, WRONG_USE, main
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.loads.known_load import KnownLoad
from tests.session.fake_bench import FakeBenchScale, FakePerson
from tests.weighing.readings import readings


@pytest.fixture
def record(tmp_path):
    path = tmp_path / "check.json"
    record = CheckRecord(
        "serial:COM3",
        "2026-01-15T09:30:00+00:00",
        still=tuple(readings(10, 0.0, hz=10, noise_g=0.03, step_g=0.1)),
        loads=(KnownLoad(0, 0.0), KnownLoad(200, 200.05), KnownLoad(500, 500.4)),
    )
    path.write_text(json.dumps(record.as_dict()))
    return path


@pytest.fixture(autouse=True)
def few_brews(monkeypatch):
    """The real number of simulated brews takes seconds; two hands' pours show as much here."""
    monkeypatch.setattr("pourcoach.reports.scale.judging_accuracy.BREWS", 1)


def test_a_kept_check_is_worked_out_again_as_a_page(record, tmp_path, capsys):
    report = tmp_path / "report.md"
    assert main(["check", "--from", str(record), "--out", str(report)]) == DONE
    out = capsys.readouterr().out
    assert report.read_text() == out
    assert "# Scale check: serial:COM3" in out
    assert "no legal verification" in out
    row = next(line for line in out.splitlines() if "error at 500 g" in line)
    assert [cell.strip() for cell in row.split("|")[1:-1]] == [
        "error at 500 g",
        "+0.400 g",
        "0.3 g",
        "OUTSIDE",
    ]


def test_limits_of_a_new_scale_are_half_as_wide(record, capsys):
    assert main(["check", "--from", str(record), "--json"]) == DONE
    used = json.loads(capsys.readouterr().out)
    assert main(["check", "--from", str(record), "--json", "--new", "--interval", "1"]) == DONE
    new = json.loads(capsys.readouterr().out)
    assert [error["limit_g"] for error in used["linearity"]["errors"]] == pytest.approx([0.2, 0.3])
    assert [error["limit_g"] for error in new["linearity"]["errors"]] == pytest.approx([0.5, 0.5])
    assert (used["linearity"]["within"], new["linearity"]["within"]) == (False, True)
    assert used["pace"]["rate_hz"] == pytest.approx(10.0)
    assert used["judging_accuracy"]["pours"] > 5
    assert used["legal_verification"] is False


def test_a_guided_check_is_kept_and_gives_the_same_page_again(tmp_path, monkeypatch, capsys):
    scale = FakeBenchScale(hz=20)
    person = FakePerson(
        scale,
        [
            ("everything off", 0.0, ""),
            ("known weight", 300.0, "300"),
            ("known weight", None, ""),
            ("(1 of 3)", None, "s"),
            ("in the middle", None, "s"),
            ("about 100 g", None, "s"),
            ("in a brew", 500.0, ""),
            ("off again", 0.0, ""),
            ("(1 of 3)", None, "s"),
            ("very same moment", None, "s"),
        ],
    )
    monkeypatch.setattr("pourcoach.cli.console.terminal_asker.TerminalAsker", lambda stream: person)
    monkeypatch.setattr("pourcoach.scales.open.open_scale", lambda address, now: scale)
    monkeypatch.setattr("pourcoach.session.clock.Clock.now", lambda clock: scale.t_s)
    kept = tmp_path / "kept.json"
    argv = ["check", "--scale", "serial:/dev/ttyFAKE7", "--minutes", "0.5", "--raw", str(kept)]
    assert main(argv) == DONE
    first = capsys.readouterr().out
    assert "creep over 30 s" in first
    assert "zero after the load" in first
    assert main(["check", "--from", str(kept)]) == DONE
    assert capsys.readouterr().out == first


WRONG = [
    (["check", "--no-config"], WRONG_USE, "no scale is named"),
    (["check", "--scale", "sim:steady"], WRONG_USE, "no platform"),
    (["check", "--scale", "a:b", "--from", "x"], WRONG_USE, "exclude each other"),
    (["check", "--interval", "-1"], WRONG_USE, "is not 0.0001 to"),
    (["check", "--from", "x", "--raw", "y"], WRONG_USE, "leave it out with --from"),
    (["check", "--from", "nowhere.json"], FAILED, "cannot read"),
]


@pytest.mark.parametrize(("argv", "status", "words"), WRONG)
def test_wrong_use_is_one_line(argv, status, words, capsys):
    assert main(argv) == status
    error = capsys.readouterr().err
    assert words in error
    assert error.count("\n") == 1


@pytest.mark.parametrize(("text", "words"), [("{", "no JSON"), ("[]", "no record of a check")])
def test_a_broken_record_is_reported(tmp_path, capsys, text, words):
    path = tmp_path / "x.json"
    path.write_text(text)
    assert main(["check", "--from", str(path)]) == FAILED
    assert words in capsys.readouterr().err
