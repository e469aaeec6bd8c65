import pytest

from pourcoach.brewing.water.targets import SCAA
from pourcoach.brewing.water.water import Water, WaterSource
from pourcoach.brewing.water.water_verdict import judge_water
from pourcoach.reports.trade.water_page import known_line, water_figures, water_lines

HARD = Water(WaterSource.MAINS, ph=7.6, hardness_mgl=220.0, alkalinity_mgl=160.0)


def lines(water: Water, why: bool = False) -> list[str]:
    return water_lines(water, SCAA, judge_water(water, SCAA), why=why)


def test_each_item_is_a_row_with_its_standing() -> None:
    rows = {line.split("  ")[0]: line for line in lines(HARD)}
    assert rows["calcium hardness"].endswith("OUT")
    assert "at most 220 mg/L CaCO3" in rows["calcium hardness"]
    assert rows["sodium"].endswith("unknown")
    assert rows["pH"].endswith("near")


def test_what_is_out_says_what_it_means() -> None:
    text = "\n".join(lines(HARD))
    assert "total alkalinity: cup: flat and chalky" in text
    assert "from half to all of the hardness taken as calcium" in text


@pytest.mark.parametrize(
    "words",
    [
        "once its carbon dioxide is gone",
        "its maker's limits decide",
        "local authority",
    ],
)
def test_always_says_what_it_does_not_cover(words: str) -> None:
    assert words in " ".join(" ".join(lines(HARD)).split())


def test_why_shows_the_reckoning_and_what_the_short_form_would_say() -> None:
    # The brewing target: the short form gives -1.471 at 25 °C where PHREEQC gives -1.238.
    target = Water(ph=7.0, tds_mgl=150, calcium_hardness_mgl=68, alkalinity_mgl=40, sodium_mgl=10)
    text = "\n".join(lines(target, why=True))
    assert "SI = log (calcium × carbonate) - log K of calcite" in text
    assert "the short form on many pages would say -1.47" in text
    assert "SI =" not in "\n".join(lines(target))


def test_figures_of_an_unknown_water_are_null() -> None:
    verdict = judge_water(Water(), SCAA)
    figures = water_figures(Water(), SCAA, verdict)
    assert {item["value"] for item in figures["items"]} == {None}
    assert figures["scaling"] == []
    assert figures["overall"] == "cannot say: not enough is known"


def test_a_saved_water_is_listed_in_words() -> None:
    mains = Water(source=WaterSource.MAINS, ph=7.4, hardness_mgl=142.8, calcium_hardness_mgl=99.0)
    assert known_line(mains) == ("mains, hardness 142.8 mg/L CaCO3, calcium 99 mg/L CaCO3, pH 7.4")
    assert known_line(Water(source=WaterSource.WELL)) == "well, untested"
    assert known_line(Water(alkalinity_mgl=40.0)) == "alkalinity 40 mg/L CaCO3"
    assert known_line(Water()) == "nothing known"
