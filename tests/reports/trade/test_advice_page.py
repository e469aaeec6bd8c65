from pourcoach.brewing.advice.dialling_in import SETTLED_RULES, advise
from pourcoach.brewing.advice.evidence import Evidence
from pourcoach.brewing.advice.move import Change, Move
from pourcoach.brewing.advice.rules import RULES
from pourcoach.brewing.advice.taste import Taste
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.water.water_verdict import Overall
from pourcoach.domain.advice import FlagKind
from pourcoach.reports.trade.advice_page import (
    advice_figures,
    advice_lines,
    evidence_lines,
    rule_lines,
)

FULL = Evidence(
    brew_s=200.0,
    planned_s=190.0,
    faults=frozenset({FlagKind.SLOW_DRAIN}),
    strength_pct=Measured(1.3, 0.03),
    extraction_pct=Measured(18.2, 0.44),
    tastes=frozenset({Taste.SOUR, Taste.THIN}),
    temperature_c=94.0,
    water=Overall.MEETS,
    changed=(Change(Move.FINER),),
    worse=True,
)


def test_all_evidence_is_reported() -> None:
    assert list(evidence_lines(FULL)) == [
        "drained after 3:20, planned 3:10",
        "noted in the pour: slow drain",
        "strength 1.30 ± 0.03 %",
        "extraction 18.20 ± 0.44 %",
        "strength wanted 1.25 %",
        "tastes sour, thin",
        "brewed at 94 °C",
        "water: meets these targets",
        "changed against the brew before: finer",
        "found worse than the brew before",
    ]
    assert list(evidence_lines(Evidence())) == ["nothing is known of it"]


def test_a_change_is_one_instruction_with_its_effect() -> None:
    advice = advise(FULL)
    figures = advice_figures(FULL, advice)
    assert (figures["step"], figures["variable"], figures["move"]) == ("change", "grind", "coarser")
    assert (figures["change"], figures["steps"]) == ("half-coarser", 0.5)
    lines = advice_lines(FULL, advice)
    assert lines[:2] == ["CHANGE ONE THING: grind", "  grind half a step coarser"]


def test_what_is_no_change_has_no_variable() -> None:
    advice = advise(Evidence())
    assert advice_lines(Evidence(), advice)[0] == "TASTE OR MEASURE FIRST"
    assert advice_figures(Evidence(), advice)["variable"] is None


def test_the_table_shows_every_rule_in_order() -> None:
    table, _, settled = "\n".join(rule_lines()).partition("where a rule's changes are used up:")
    numbered = [line.split() for line in table.splitlines() if line[:2].strip()]
    assert numbered == [[str(n), rule.name] for n, rule in enumerate(RULES, 1)]
    assert all(f"    {rule.name}\n    stop here" in settled for rule in SETTLED_RULES)
