import json

import pytest

from pourcoach.cli.main import main
from pourcoach.cli.temperature import EXAMPLE


def json_of(argv: str, capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    assert main(["temperature", *argv.split(), "--json"]) == 0
    data: dict[str, object] = json.loads(capsys.readouterr().out)
    return data


def test_at_sea_level(capsys: pytest.CaptureFixture[str]) -> None:
    data = json_of("", capsys)
    assert (data["aim_c"], data["aim_f"], data["reach"]) == (94.0, 201.2, "yes")
    assert data["boils_c"] == pytest.approx(99.974, abs=0.002)


# Standard atmosphere and IAPWS-IF97.
@pytest.mark.parametrize(
    ("argv", "reach"),
    [
        ("--altitude 1500 --aim 96", "no"),
        ("--altitude 1500 --aim 95.4", "seldom"),
        ("--altitude 1500 --aim 94", "yes"),
        ("--altitude 2000 --aim 93", "just"),
        ("--pressure 795 --aim 93", "yes"),
        ("--altitude 1500 --aim 205F", "no"),
    ],
)
def test_whether_it_can_be_had(argv: str, reach: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert json_of(argv, capsys)["reach"] == reach


def test_the_loss_identifies_the_kettle(capsys: pytest.CaptureFixture[str]) -> None:
    # 69 of 74 degrees over the room arrive; 92 °C at the bed wants 22 + 70 × 74 / 69 = 97.07.
    data = json_of("--kettle 96 --bed 91 --room 22 --aim 92", capsys)
    assert data["kettle_c"] == pytest.approx(97.07, abs=0.01)
    assert data["best_bed_c"] == pytest.approx(94.71, abs=0.01)


def test_a_loss_that_no_kettle_makes_up_for_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """This was an error on 146.3 °C, which nobody had asked for."""
    argv = "--kettle 96 --bed 64 --room 22 --aim 94"
    assert json_of(argv, capsys)["reach"] == "no"
    assert main(["temperature", *argv.split()]) == 0
    out = capsys.readouterr().out
    assert "kettle     none there is hot enough for 94.0 °C at the bed with that loss" in out
    assert "from a boiling kettle the bed gets 66.3 °C" in out


def test_why_quotes_the_study_for_what_it_covers(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["temperature", "--why"]) == 0
    out = capsys.readouterr().out
    assert "87, 90 and 93 °C tasted alike at the same strength and extraction" in out


def test_mass_against_volume(capsys: pytest.CaptureFixture[str]) -> None:
    # 963.279 kg/m3 at 93 °C (IAPWS-IF97).
    data = json_of("--aim 93 --volume 500", capsys)
    assert data["mass_g"] == pytest.approx(481.64, abs=0.02)
    assert json_of("--aim 93 --mass 481.64", capsys)["volume_ml"] == pytest.approx(500, abs=0.02)
    assert main(["temperature", "--aim", "93", "--volume", "500"]) == 0
    assert "mass       481.6 g" in capsys.readouterr().out


def test_the_page_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["temperature"]) == 0
    out = capsys.readouterr().out
    assert "about a second or less; children faster" in out
    assert main(["temperature", "--aim", "20"]) == 0
    assert "caution" not in capsys.readouterr().out


def test_why_gives_formulas_and_sources(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["temperature", "--altitude", "1600", "--why"]) == 0
    out = capsys.readouterr().out
    for source in ("ISO 2533", "IAPWS-IF97", "Kell 1975", "SCAA Golden Cup"):
        assert source in out


@pytest.mark.parametrize(
    ("argv", "says"),
    [
        ("--altitude 30000", "nobody brews at 30000 m"),
        ("--pressure 1", "station pressure in hPa"),
        ("--altitude 100 --pressure 900", "not allowed with"),
        ("--kettle 96", "two readings and the room"),
        ("--kettle 90 --bed 95 --room 22", "do not fall"),
        ("--aim hot", "'hot' is no temperature"),
        ("--aim 140", "140 °C is no brewing temperature"),
        ("--altitude 3000 --kettle 99 --bed 92 --room 20", "a kettle of 99 °C cannot be where"),
        ("--kettle 96 --bed 50 --room 22", "more than a pour loses"),
    ],
)
def test_wrong_use_is_one_line(argv: str, says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["temperature", *argv.split()]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
    assert err.count("\n") == 1


def test_the_example_works() -> None:
    assert main(EXAMPLE.split()[1:]) == 0


def test_the_highest_place_that_is_allowed_is_allowed_in_any_weather(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["temperature", "--altitude", "9000"]) == 0
    assert main(["temperature", "--altitude", "9001"]) == 2
    assert "use -430 to 9000 m" in capsys.readouterr().err
