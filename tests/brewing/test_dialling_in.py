"""The rules as a table: what is known, and which row answers."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.dialling_in import RULES, Step, advise
from pourcoach.brewing.evidence import POUR_FAULTS, Evidence
from pourcoach.brewing.measured import Measured
from pourcoach.brewing.move import Move
from pourcoach.brewing.taste import Taste
from pourcoach.brewing.water_verdict import Overall
from pourcoach.domain.advice import FlagKind, RiskLevel


def tasting(*tastes: Taste, **known: object) -> Evidence:
    return replace(Evidence(tastes=frozenset(tastes)), **known)


FAST = {"brew_s": 120.0, "planned_s": 190.0}
SLOW = {"brew_s": 260.0, "planned_s": 190.0}
LOW = Measured(16.0, 0.4)
HIGH = Measured(24.0, 0.4)
SOUR, BITTER = Taste.SOUR, Taste.BITTER

TABLE = [
    (Evidence(water=Overall.UNTESTED), "untested-water", None),
    (Evidence(faults=frozenset({FlagKind.STALL})), "pour-first", None),
    (Evidence(risk=RiskLevel.HIGH), "pour-first", None),
    (tasting(SOUR, changed=(Move.FINER, Move.HOTTER)), "one-at-a-time", None),
    (tasting(BITTER, changed=(Move.FINER,), worse=True), "go-back", Move.COARSER),
    (
        Evidence(
            extraction_pct=LOW,
            changed=(Move.COARSER,),
            before=Evidence(extraction_pct=Measured(19.0, 0.4)),
        ),
        "go-back",
        Move.FINER,
    ),
    (tasting(Taste.FLAT, water=Overall.MISSES), "dull-water", None),
    (tasting(SOUR, extraction_pct=HIGH), "contrary", None),
    (tasting(BITTER, extraction_pct=LOW), "contrary", None),
    (tasting(Taste.BALANCED), "balanced", None),
    (tasting(Taste.BALANCED, extraction_pct=LOW), "balanced", None),
    (tasting(SOUR, BITTER), "sour-and-bitter", Move.CALMER),
    (tasting(Taste.HEAVY, SOUR), "strong-yet-under", Move.MORE_WATER),
    (
        Evidence(extraction_pct=LOW, strength_pct=Measured(1.6, 0.03)),
        "strong-yet-under",
        Move.MORE_WATER,
    ),
    (tasting(Taste.THIN, BITTER), "weak-yet-over", Move.LESS_WATER),
    (tasting(SOUR, temperature_c=84.0), "under-and-cool", Move.HOTTER),
    (tasting(BITTER, temperature_c=99.0), "over-and-hot", Move.COOLER),
    (
        tasting(SOUR, changed=(Move.FINER,), **FAST),
        "under-and-fast-though-finer",
        Move.LOWER_LEVEL,
    ),
    (tasting(SOUR, **SLOW), "under-and-slow", Move.LIVELIER),
    (tasting(SOUR, changed=(Move.FINER,)), "under-though-finer", Move.LONGER),
    (tasting(SOUR), "under", Move.FINER),
    (tasting(SOUR, **FAST), "under", Move.FINER),
    (tasting(SOUR, temperature_c=90.0), "under", Move.FINER),
    (Evidence(extraction_pct=LOW), "under", Move.FINER),
    (tasting(BITTER, **FAST), "over-and-fast", Move.CALMER),
    (tasting(BITTER, changed=(Move.COARSER,)), "over-though-coarser", Move.SHORTER),
    (
        tasting(BITTER, changed=(Move.COARSER,), **SLOW),
        "over-and-slow-though-coarser",
        Move.HIGHER_LEVEL,
    ),
    (tasting(BITTER), "over", Move.COARSER),
    (tasting(BITTER, **SLOW), "over", Move.COARSER),
    (Evidence(extraction_pct=HIGH), "over", Move.COARSER),
    (tasting(Taste.DRYING), "drying", Move.CALMER),
    (tasting(Taste.THIN), "weak", Move.LESS_WATER),
    (Evidence(strength_pct=Measured(1.0, 0.03)), "weak", Move.LESS_WATER),
    (tasting(Taste.HEAVY), "strong", Move.MORE_WATER),
    (Evidence(strength_pct=Measured(1.5, 0.03)), "strong", Move.MORE_WATER),
    (tasting(Taste.FLAT), "flat-water-unknown", None),
    (Evidence(**SLOW), "slow", Move.COARSER),
    (Evidence(faults=frozenset({FlagKind.SLOW_DRAIN})), "slow", Move.COARSER),
    (Evidence(**FAST), "fast", None),
    (Evidence(), "nothing-known", None),
    (Evidence(brew_s=190.0, planned_s=190.0), "nothing-known", None),
    (Evidence(strength_pct=Measured(1.35, 0.03)), "within-errors", None),
    (Evidence(strength_pct=Measured(1.35, 0.03), **SLOW), "within-errors", None),
]


@pytest.mark.parametrize(("evidence", "name", "move"), TABLE)
def test_the_table(evidence: Evidence, name: str, move: Move | None) -> None:
    advice = advise(evidence)
    assert (advice.rule.name, advice.move) == (name, move)


def test_every_rule_is_reached_by_the_table() -> None:
    assert {name for _, name, _ in TABLE} == {rule.name for rule in RULES}
    assert len({rule.name for rule in RULES}) == len(RULES)


def test_every_variable_is_advised_somewhere() -> None:
    moves = {move for _, _, move in TABLE if move is not None}
    assert moves == set(Move)


def test_every_rule_gives_a_reason_and_a_source() -> None:
    for rule in RULES:
        assert rule.why
        assert rule.source


MEASURES = st.builds(Measured, st.floats(0.5, 2.5), st.floats(0.0, 0.3))
EXTRACTIONS = st.builds(Measured, st.floats(12.0, 28.0), st.floats(0.0, 2.0))
EVIDENCE = st.builds(
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
    changed=st.lists(st.sampled_from(Move), max_size=2).map(tuple),
    worse=st.booleans(),
)


@given(EVIDENCE)
def test_a_change_is_one_move_and_anything_else_is_none(evidence: Evidence) -> None:
    advice = advise(evidence)
    assert (advice.move is not None) == (advice.step is Step.CHANGE)


@given(EVIDENCE, st.sampled_from(sorted(POUR_FAULTS, key=lambda kind: kind.value)))
def test_the_pour_is_mended_before_anything_is_changed(evidence: Evidence, fault: FlagKind) -> None:
    faulty = replace(evidence, faults=evidence.faults | {fault}, water=None)
    assert advise(faulty).step is Step.POUR


@given(EVIDENCE, st.floats(-0.239, 0.239))
def test_a_strength_within_the_threshold_changes_no_advice(evidence: Evidence, off: float) -> None:
    at_aim = replace(evidence, strength_pct=Measured(evidence.aim_strength_pct, 0.02))
    nearly = replace(at_aim, strength_pct=Measured(evidence.aim_strength_pct + off, 0.02))
    assert advise(nearly) == advise(at_aim)


@given(EVIDENCE, st.floats(87.0, 96.0))
def test_temperature_alone_is_never_the_fault_within_its_band(
    evidence: Evidence, temperature_c: float
) -> None:
    advice = advise(replace(evidence, temperature_c=temperature_c, changed=()))
    assert advice.move not in (Move.HOTTER, Move.COOLER)
