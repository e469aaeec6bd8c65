import json

import pytest

from pourcoach.cli.main import DONE, FAILED, WRONG_USE, main
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.known.calibrations import kept_calibration
from tests.session.fake_bench import FakeBenchScale, FakePerson

SCALE = "serial:/dev/ttyFAKE7"
LOADS = [
    {"true_g": g, "shown": -8000 + 2000 * g, "noise": 40, "readings": 160} for g in (0, 200, 500)
]


def kept():
    return kept_calibration(ScaleAddress.parse(SCALE))


def test_loads_from_a_file_are_fitted_kept_shown_and_taken_back(tmp_path, capsys):
    loads = tmp_path / "loads.json"
    loads.write_text(json.dumps(LOADS))
    assert main(["calibrate", "--scale", SCALE, "--from", str(loads), "--json"]) == DONE
    figures = json.loads(capsys.readouterr().out)
    assert figures["counts_per_g"] == pytest.approx(2000.0)
    assert figures["empty_counts"] == pytest.approx(-8000.0)
    assert [load["residual_g"] for load in figures["loads"]] == pytest.approx([0, 0, 0], abs=1e-9)
    assert figures["warnings"] == []
    assert figures["kept"] is True
    assert kept().calibration.grams(-8000 + 2000 * 123.4) == pytest.approx(123.4)

    assert main(["calibrate", "--scale", SCALE, "--show"]) == DONE
    assert "2000 counts a gram, -8000 when empty" in capsys.readouterr().out
    assert main(["calibrate", "--scale", SCALE, "--undo"]) == DONE
    assert "No calibration" in capsys.readouterr().out
    assert kept() is None
    assert main(["calibrate", "--scale", SCALE, "--undo"]) == WRONG_USE


def test_a_dry_run_keeps_nothing(tmp_path, capsys):
    loads = tmp_path / "loads.json"
    loads.write_text(json.dumps(LOADS))
    assert main(["calibrate", "--scale", SCALE, "--from", str(loads), "--dry-run"]) == DONE
    out = capsys.readouterr().out
    assert "COUNTS_PER_G = (2000,)" in out
    assert "Not kept." in out
    assert kept() is None


def test_a_guided_calibration(monkeypatch, capsys):
    scale = FakeBenchScale(noise=30.0, shown=lambda grams: 500 - 1000.0 * grams)
    person = FakePerson(
        scale, [("everything off", 0.0, ""), ("Put 250 g", 250.0, ""), ("Put 500 g", 500.0, "")]
    )
    opened = []
    monkeypatch.setattr("pourcoach.cli.console.terminal_asker.TerminalAsker", lambda stream: person)
    monkeypatch.setattr(
        "pourcoach.scales.open.open_scale", lambda address, now: opened.append(address) or scale
    )
    asked = ["calibrate", "--scale", SCALE, "--weights", "250,500", "--sit", "1", "--json"]
    assert main(asked) == DONE
    assert opened[0].options["counts"] == "on"
    figures = json.loads(capsys.readouterr().out)
    assert figures["counts_per_g"] == pytest.approx(-1000.0, rel=1e-3)
    assert figures["drift_s"] == pytest.approx(60.0, abs=0.2)
    assert figures["drift_g"] == pytest.approx(0.0, abs=0.05)
    assert kept().calibration.grams(500 - 1000.0 * 300) == pytest.approx(300.0, abs=0.1)


def guided(monkeypatch, scale, person, *options):
    monkeypatch.setattr("pourcoach.cli.console.terminal_asker.TerminalAsker", lambda stream: person)
    monkeypatch.setattr("pourcoach.scales.open.open_scale", lambda address, now: scale)
    return main(["calibrate", "--scale", SCALE, "--weights", "200,500", *options])


@pytest.mark.parametrize(
    ("answer", "status"), [("", FAILED), ("n", FAILED), ("yes", DONE)], ids=["enter", "no", "yes"]
)
def test_a_doubtful_calibration_is_asked_about_and_not_kept_by_default(
    answer, status, monkeypatch, capsys
):
    scale = FakeBenchScale(noise=0.02)  # it sends grams
    person = FakePerson(
        scale,
        [
            ("everything off", 0.0, ""),
            ("Put 200 g", 200.0, ""),
            ("Put 500 g", 500.0, ""),
            ("Keep it all the same?", None, answer),
        ],
    )
    assert guided(monkeypatch, scale, person) == status
    assert "looks like grams already" in person.messages[-1]
    out = capsys.readouterr().out
    assert ("Not kept, since it is doubtful" in out) == (status == FAILED)
    assert (kept() is None) == (status == FAILED)


def test_a_weight_typed_wrong_in_a_file_is_named_and_kept_only_by_force(tmp_path, capsys):
    loads = tmp_path / "loads.json"
    loads.write_text(json.dumps([*LOADS[:2], LOADS[2] | {"true_g": 750}]))
    argv = ["calibrate", "--scale", SCALE, "--from", str(loads)]
    assert main(argv) == FAILED
    out = capsys.readouterr().out
    assert "Doubtful: the weights do not agree; by the others, 200 g weighs 300 g or 750 g" in out
    assert kept() is None
    assert main([*argv, "--force", "--json"]) == DONE
    assert json.loads(capsys.readouterr().out)["kept"] is True
    assert kept() is not None


WRONG = [
    (["calibrate", "--scale", SCALE, "--sit", "nan"], WRONG_USE, "nan"),
    (["calibrate", "--scale", SCALE, "--sit", "1e9"], WRONG_USE, "is not 0 to 240 minutes"),
    (["calibrate", "--scale", SCALE, "--sit", "-1"], WRONG_USE, "is not 0 to 240 minutes"),
    (["calibrate", "--no-config"], WRONG_USE, "no scale is named"),
    (["calibrate", "--scale", "sim:steady"], WRONG_USE, "sends no raw counts"),
    (["calibrate", "--scale", SCALE, "--weights", "a"], WRONG_USE, "no list of weights"),
    (["calibrate", "--scale", SCALE, "--from", "x", "--sit", "5"], WRONG_USE, "a load on the"),
    (["calibrate", "--scale", SCALE, "--from", "nowhere.json"], FAILED, "cannot read"),
]


@pytest.mark.parametrize(("argv", "status", "words"), WRONG)
def test_wrong_use_is_one_line(argv, status, words, capsys):
    assert main(argv) == status
    error = capsys.readouterr().err
    assert words in error
    assert error.count("\n") == 1


def test_a_broken_file_of_loads_is_reported(tmp_path, capsys):
    loads = tmp_path / "loads.json"
    for text, words in (("{", "no JSON"), ("{}", "no list of loads"), ("[1]", "a weighing is 1")):
        loads.write_text(text)
        assert main(["calibrate", "--scale", SCALE, "--from", str(loads)]) != DONE
        assert words in capsys.readouterr().err
