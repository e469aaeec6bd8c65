import pytest

from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import MeasuredBrew, work_out_extraction
from pourcoach.reports.trade.strength_page import strength_figures, strength_lines


def page(strength_pct: float, *, water: bool = True, why: bool = False) -> list[str]:
    brew = MeasuredBrew(
        Measured(20.0, 0.1),
        Measured(strength_pct, 0.03),
        beverage_g=Measured(280.0, 1.0),
        water_g=Measured(320.0, 1.0) if water else None,
    )
    return strength_lines(brew, work_out_extraction(brew), why=why)


@pytest.mark.parametrize(
    ("strength_pct", "strength", "extraction"),
    [(1.0, "below", "below"), (1.3, "within", "within"), (1.6, "above", "above")],
)
def test_says_where_each_lies(strength_pct: float, strength: str, extraction: str) -> None:
    rows = page(strength_pct)
    assert f"{strength} the classic 1.15-1.35 %" in rows[0]
    assert f"{extraction} the classic 18-22 %" in rows[1]


@pytest.mark.parametrize(
    ("strength_pct", "wanted"),
    # E = 14 S; R = E / 1.25 + 2 kept. Within 0.24 % of 1.25 % nothing is advised.
    [(1.6, "about 1:19.9"), (1.0, "about 1:13.2"), (1.45, None), (1.05, None)],
)
def test_a_ratio_is_named_only_where_it_can_be_tasted(
    strength_pct: float, wanted: str | None
) -> None:
    text = "\n".join(page(strength_pct))
    assert ("wants about" in text) == (wanted is not None)
    assert wanted is None or wanted in text


def test_figures_carry_the_errors() -> None:
    brew = MeasuredBrew(Measured(20.0), Measured(1.3, 0.1), beverage_g=Measured(280.0))
    figures = strength_figures(brew, work_out_extraction(brew))
    assert figures["strength_error_pct"] == 0.1
    assert figures["extraction_error_pct"] == pytest.approx(1.4)
    assert figures["covariance_pct2"] == pytest.approx(0.14)
    assert figures["ratio"] is None
    assert figures["in_classic_box"] is True
