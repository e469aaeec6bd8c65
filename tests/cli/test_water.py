import json
from pathlib import Path
from shlex import split

import pytest

from pourcoach.cli.main import main
from pourcoach.cli.water import EXAMPLE
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library, library_path
from tests.library.made_tapes import make_tape

IDEAL = "--ph 7 --tds 150 --calcium 68 --alkalinity 40 --sodium 10 --chlorine 0"


def out_of(command: str, capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["water", *split(command)]) == 0
    return capsys.readouterr().out


def json_of(command: str, capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    (line,) = out_of(f"{command} --json", capsys).splitlines()
    data: dict[str, object] = json.loads(line)
    return data


def test_a_water_that_meets_the_targets(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(f"check --source mains {IDEAL}", capsys)
    assert out.startswith("meets these targets (scaa: ")
    assert "calcium hardness  68 mg/L CaCO3" in out
    assert "scale at 93 °C, closed: index -0.39" in out
    assert "for the local authority" in out


@pytest.mark.parametrize("source", ["well", "roof", "surface"])
def test_untested_private_water_is_not_judged(
    source: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = out_of(f"check --source {source} {IDEAL}", capsys)
    assert out.startswith("not judged: untested water")
    assert "meets" not in out
    assert "suitable" not in out
    assert "untested: do not brew with it" in out
    assert out_of(f"check --source {source} --tested {IDEAL}", capsys).startswith("meets")


def test_units_of_kits(capsys: pytest.CaptureFixture[str]) -> None:
    data = json_of("check --calcium '4 gpg' --magnesium '10 mg/L Mg' --alkalinity '2 dH'", capsys)
    assert data["water"] == {
        "calcium_hardness_mgl": pytest.approx(68.472, abs=1e-3),
        "magnesium_hardness_mgl": pytest.approx(41.179, abs=1e-3),
        "alkalinity_mgl": pytest.approx(35.696, abs=1e-3),
    }


def test_conductivity_by_a_stated_scale(capsys: pytest.CaptureFixture[str]) -> None:
    data = json_of("check --conductivity 300 --conductivity-scale 0.5", capsys)
    assert data["water"] == {"tds_mgl": 150.0}


def test_why_shows_the_reckoning(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of(f"check --why {IDEAL}", capsys)
    assert "SI = log (calcium × carbonate) - log K of calcite" in out
    assert "Plummer & Busenberg 1982" in out


def test_saved_waters_are_blended_diluted_listed_and_deleted(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out_of("check --source mains --alkalinity 160 --calcium 200 --save home", capsys)
    assert (home / "waters.toml").exists()
    mixed = json_of("blend home:25 demineralised:75 --save mixed", capsys)
    assert mixed["water"] == {
        "source": "mains",
        "calcium_hardness_mgl": 50.0,
        "alkalinity_mgl": 40.0,
    }
    assert mixed["blend"] == {"shares": {"home": 0.25, "demineralised": 0.75}}
    diluted = json_of("dilute home --to alkalinity=40", capsys)
    assert diluted["dilute"] == {"share": 0.25}
    assert diluted["water"] == mixed["water"]
    names = [line.split(":")[0] for line in out_of("list", capsys).splitlines()]
    assert names == ["home", "mixed"]
    out_of("delete home", capsys)
    assert json.loads(out_of("list --json", capsys))["name"] == "mixed"


def test_options_change_what_is_known_of_a_saved_water(
    capsys: pytest.CaptureFixture[str],
) -> None:
    out_of("check --alkalinity 160 --ph 7 --save home", capsys)
    assert json_of("check home --ph 7.5", capsys)["water"] == {"alkalinity_mgl": 160.0, "ph": 7.5}


def test_dosing_gives_grams_to_weigh_out(capsys: pytest.CaptureFixture[str]) -> None:
    command = "dose --with calcium-chloride baking-soda@10 --litres 5 --calcium 68 --alkalinity 40"
    out = out_of(command, capsys)
    assert "0.503 g  CALCIUM CHLORIDE DIHYDRATE  CaCl2·2H2O" in out
    assert "look at the label: the same as 0.3795 g of CaCl2 or 0.7492 g of CaCl2·6H2O" in out
    assert "33.798 g  BAKING SODA at 10 g/kg  NaHCO3 dissolved" in out
    assert "makes 5.033 L: the water of the concentrates counts" in out
    assert "food-grade" in out
    dose = json_of(command, capsys)["dose"]
    assert isinstance(dose, dict)
    assert dose["litres"] == 5.0


def test_an_anhydrous_salt_comes_with_its_caution(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of("dose --with CaCl2 --calcium 68", capsys)
    assert "CALCIUM CHLORIDE ANHYDROUS  CaCl2" in out
    assert "it heats up as it dissolves" in out


def test_the_cap_on_a_concentrate_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    out = out_of("dose --with baking-soda@1 --alkalinity 40", capsys)
    assert "baking-soda at 1 g/kg: no more than 50 g to a litre is added" in out
    assert "alkalinity: -12 mg/L off its aim" in out


def test_shares_are_found_for_an_aim(capsys: pytest.CaptureFixture[str]) -> None:
    out_of("check --source mains --alkalinity 160 --save home", capsys)
    data = json_of("blend home demineralised --alkalinity 40", capsys)
    assert data["blend"] == {
        "shares": {
            "home": pytest.approx(0.25, abs=1e-4),
            "demineralised": pytest.approx(0.75, abs=1e-4),
        }
    }


def test_a_kept_brew_names_its_water(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out_of("check --source mains --alkalinity 160 --save home", capsys)
    tape = make_tape(tmp_path / "brew.jsonl")
    assert main(["water", "use", "home", str(tape)]) == 0
    with Library(library_path()) as library:
        (brew,) = find_brews(library)
    assert brew.water == "home"
    assert main(["water", "use", "home", str(tmp_path / "stray.jsonl")]) == 1
    assert "there is no file" in capsys.readouterr().err


def test_a_missed_aim_is_reported(capsys: pytest.CaptureFixture[str]) -> None:
    out_of("check --alkalinity 160 --save home", capsys)
    assert "alkalinity: +120 mg/L off its aim" in out_of(
        "dose home --with baking-soda --alkalinity 40", capsys
    )


@pytest.mark.parametrize(
    ("command", "says"),
    [
        ("", "ACTION"),
        ("check", "nothing is known of the water"),
        ("check nowhere", "no water is saved as 'nowhere'"),
        ("check --hardness soft", "is no amount"),
        ("check --alkalinity '3 mmol/L'", "can mean the carbonate or the acid"),
        ("check --conductivity 300", "give --conductivity-scale"),
        ("check --calcium 68 --save x:y", "cannot be saved as"),
        ("check --ph 70", "pH 70"),
        ("blend demineralised", "no part of a blend"),
        ("blend demineralised:much", "no part of a blend"),
        ("dilute demineralised --to alkalinity=40", "cannot be diluted"),
        ("dilute demineralised --to hardness", "is no aim"),
        ("dilute --alkalinity 80 --to hardness=40", "hardness is unknown"),
        ("dose --with sugar --alkalinity 40", "unknown salt 'sugar'"),
        ("dose --with baking-soda", "nothing to solve"),
        ("blend demineralised --alkalinity 40", "one water is no blend"),
        ("use nowhere brew.jsonl", "no water is saved"),
        ("delete nowhere", "no water is saved"),
    ],
)
def test_wrong_use_is_one_line(command: str, says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["water", *split(command)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
    assert err.count("\n") == 1


def test_a_broken_file_of_waters_is_reported(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    home.mkdir()
    (home / "waters.toml").write_text("[home", encoding="utf-8")
    assert main(["water", "list"]) == 1
    assert "cannot read the saved waters" in capsys.readouterr().err


def test_the_example_works() -> None:
    assert main(split(EXAMPLE)[1:]) == 0
