"""The rules, held to a table that a trainer can read: ``advice_table.md``."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.advice.dialling_in import SETTLED_RULES, Advice, advise
from pourcoach.brewing.advice.evidence import POUR_FAULTS, Evidence
from pourcoach.brewing.advice.move import Change, Move, change
from pourcoach.brewing.advice.rule import AdviceStep
from pourcoach.brewing.advice.rules import RULES
from pourcoach.brewing.advice.taste import Taste, taste
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.water.water_verdict import Overall
from pourcoach.domain.advice import FlagKind, RiskLevel
from pourcoach.domain.errors import UsageError

TABLE_FILE = Path(__file__).with_name("advice_table.md")
KNOWN: dict[str, dict[str, object]] = {
    "nothing": {},
    "on time": {"brew_s": 190.0, "planned_s": 190.0},
    "fast": {"brew_s": 120.0, "planned_s": 190.0},
    "slow": {"brew_s": 260.0, "planned_s": 190.0},
    "extraction low": {"extraction_pct": Measured(16.0, 0.4)},
    "extraction good": {"extraction_pct": Measured(20.0, 0.4)},
    "extraction high": {"extraction_pct": Measured(24.0, 0.4)},
    "strength low": {"strength_pct": Measured(1.0, 0.03)},
    "strength good": {"strength_pct": Measured(1.25, 0.03)},
    "strength high": {"strength_pct": Measured(1.5, 0.03)},
    "water meets": {"water": Overall.MEETS},
    "water near": {"water": Overall.NEAR},
    "water misses": {"water": Overall.MISSES},
    "water untested": {"water": Overall.UNTESTED},
    "water unknown": {"water": Overall.CANNOT_SAY},
    "risk high": {"risk": RiskLevel.HIGH},
    "worse": {"worse": True},
}
STEPS = {
    AdviceStep.POUR: "pour",
    AdviceStep.WATER: "water",
    AdviceStep.MEASURE: "measure",
    AdviceStep.REPEAT: "repeat",
    AdviceStep.KEEP: "keep",
}


def read_table() -> list[tuple[str, str, str, str, str]]:
    rows = []
    for line in TABLE_FILE.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if line.startswith("|") and cells[0] != "known" and set(cells[0]) != {"-"}:
            known, do, rule, because, source = cells
            rows.append((known, do, rule, because, source))
    return rows


def brew_of(words: str, before: Evidence | None) -> Evidence:
    """One brew of a path: ``finer + hotter: sour, fast``."""
    changed_words, colon, rest = words.rpartition(":")
    changed = tuple(change(word) for word in changed_words.split("+")) if colon else None
    evidence = Evidence(changed=changed, before=before)
    for word in (part.strip() for part in rest.split(",")):
        if word in KNOWN:
            evidence = replace(evidence, **KNOWN[word])
        elif found := re.fullmatch(r"(\d+) °C", word):
            evidence = replace(evidence, temperature_c=float(found[1]))
        elif word in {kind.value for kind in FlagKind}:
            evidence = replace(evidence, faults=evidence.faults | {FlagKind(word)})
        else:
            evidence = replace(evidence, tastes=evidence.tastes | {taste(word)})
    return evidence


def evidence_of(known: str) -> Evidence:
    evidence: Evidence | None = None
    for words in known.split("→"):
        evidence = brew_of(words.strip(), evidence)
    assert evidence is not None
    return evidence


def said(advice: Advice) -> str:
    """The advice as the table writes it."""
    name = "" if advice.change is None else advice.change.name
    if advice.step is AdviceStep.CHANGE:
        return name if advice.back is None else f"back {advice.back.name}, then {name}"
    if advice.step is AdviceStep.BACK:
        return f"return {name}"
    if advice.step is AdviceStep.SETTLED:
        return f"stop, to {name}" if name else "stop"
    return STEPS[advice.step]


TABLE = read_table()


@pytest.mark.parametrize(("known", "do", "rule"), [row[:3] for row in TABLE])
def test_the_table(known: str, do: str, rule: str) -> None:
    advice = advise(evidence_of(known))
    assert (said(advice), advice.rule.name) == (do, rule)


def test_each_row_has_a_reason_and_a_source_and_stands_once() -> None:
    assert len(TABLE) >= 74
    assert len({known for known, *_ in TABLE}) == len(TABLE)
    for known, _, _, because, source in TABLE:
        assert because.endswith("."), known
        assert source, known


def test_every_rule_is_reached_by_the_table() -> None:
    rules = [*RULES, *SETTLED_RULES]
    assert {row[2] for row in TABLE} == {rule.name for rule in rules}
    assert len({rule.name for rule in rules}) == len(rules)


def test_every_variable_is_advised_somewhere() -> None:
    advised = [advise(evidence_of(known)).change for known, *_ in TABLE]
    moves = {one.move for one in advised if one is not None}
    # Nothing calls for mixing the bed more before grind and level have been tried.
    assert moves == set(Move) - {Move.MORE_TURBULENCE}


def test_more_turbulence_is_what_is_left_when_grind_and_level_did_not_help() -> None:
    known = "sour, fast → finer: sour, fast, worse → coarser + lower-level: sour, fast, worse"
    advice = advise(evidence_of(known))
    assert said(advice) == "back higher-level, then more-turbulence"


def test_every_rule_gives_a_reason_and_a_source() -> None:
    for rule in (*RULES, *SETTLED_RULES):
        assert rule.why
        assert rule.source
        assert bool(rule.levers) <= (rule.step is AdviceStep.CHANGE)


MEASURES = st.builds(Measured, st.floats(0.5, 2.5), st.floats(0.0, 0.3))
EXTRACTIONS = st.builds(Measured, st.floats(12.0, 28.0), st.floats(0.0, 2.0))
CHANGES = st.sampled_from(Move).flatmap(
    lambda move: st.builds(
        Change, st.just(move), st.sampled_from((0.5, 1.0, 2.0) if move.variable.divides else (1.0,))
    )
)


def brews(before: st.SearchStrategy[Evidence | None]) -> st.SearchStrategy[Evidence]:
    return st.builds(
        Evidence,
        brew_s=st.none() | st.floats(60.0, 500.0),
        planned_s=st.none() | st.floats(120.0, 300.0),
        faults=st.frozensets(st.sampled_from(FlagKind), max_size=2),
        risk=st.none() | st.sampled_from(RiskLevel),
        strength_pct=st.none() | MEASURES,
        extraction_pct=st.none() | EXTRACTIONS,
        tastes=st.frozensets(st.sampled_from(Taste), max_size=3),
        temperature_c=st.none() | st.floats(70.0, 100.0),
        water=st.none() | st.sampled_from(Overall),
        changed=st.none() | st.lists(CHANGES, max_size=2).map(tuple),
        worse=st.booleans(),
        before=before,
    )


EVIDENCE = brews(st.none() | brews(st.none() | brews(st.none())))


@given(EVIDENCE)
def test_a_change_is_one_move_and_anything_else_is_none(evidence: Evidence) -> None:
    advice = advise(evidence)
    if advice.step in (AdviceStep.CHANGE, AdviceStep.BACK):
        assert advice.change is not None
        assert advice.change.name
        assert advice.change.how
    elif advice.step is not AdviceStep.SETTLED:
        assert advice.change is None
    if advice.back is not None:
        assert advice.step is AdviceStep.CHANGE
        assert advice.change is not None
        assert advice.back.move.variable is not advice.change.move.variable


@given(EVIDENCE, st.sampled_from(sorted(POUR_FAULTS, key=lambda kind: kind.value)))
def test_nothing_is_changed_before_the_pour_is_mended(evidence: Evidence, fault: FlagKind) -> None:
    faulty = replace(evidence, faults=evidence.faults | {fault}, water=None)
    advice = advise(faulty)
    balanced = evidence.tastes == {Taste.BALANCED}
    assert advice.step in ((AdviceStep.KEEP, AdviceStep.BACK) if balanced else (AdviceStep.POUR,))


@given(EVIDENCE)
def test_a_balanced_taste_outranks_every_figure(evidence: Evidence) -> None:
    good = replace(evidence, tastes=frozenset({Taste.BALANCED}), worse=False, water=None)
    assert advise(good).step is AdviceStep.KEEP


@given(EVIDENCE, st.sampled_from((Overall.MEETS, Overall.NEAR)))
def test_water_that_meets_its_targets_is_never_what_to_mend(
    evidence: Evidence, water: Overall
) -> None:
    assert advise(replace(evidence, water=water)).step is not AdviceStep.WATER


@given(EVIDENCE, st.floats(-0.239, 0.239))
def test_a_strength_within_the_threshold_changes_no_rule(evidence: Evidence, off: float) -> None:
    at_aim = replace(evidence, strength_pct=Measured(evidence.aim_strength_pct, 0.02), before=None)
    nearly = replace(at_aim, strength_pct=Measured(evidence.aim_strength_pct + off, 0.02))
    assert advise(nearly).rule == advise(at_aim).rule


@given(EVIDENCE, st.floats(87.0, 96.0))
def test_temperature_is_not_the_first_suspect_within_its_band(
    evidence: Evidence, temperature_c: float
) -> None:
    known = replace(evidence, temperature_c=temperature_c, changed=None, before=None)
    advised = advise(known).change
    assert advised is None or advised.move not in (Move.HOTTER, Move.COOLER)


@given(EVIDENCE)
def test_no_advice_leaves_the_usual_heat(evidence: Evidence) -> None:
    known = replace(evidence, temperature_c=95.5)
    advice = advise(known)
    if advice.step is AdviceStep.CHANGE and advice.change is not None:
        assert advice.change.move is not Move.HOTTER


@pytest.mark.parametrize(
    ("word", "says"),
    [("grinder", "unknown change"), ("half-less-turbulence", "less-turbulence has no half-step")],
)
def test_a_change_that_is_none_is_named(word: str, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        change(word)
