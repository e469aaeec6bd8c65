from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.advice.evidence import Evidence, earlier_brews, read_signals, sure_faults
from pourcoach.brewing.advice.move import Change, Move, Variable
from pourcoach.brewing.advice.taste import Taste
from pourcoach.brewing.strength.measured import Measured
from pourcoach.domain.advice import Flag, FlagKind

EXACT = 0.0


@pytest.mark.parametrize(
    ("strength_pct", "error", "weak", "strong"),
    [
        # The threshold is 0.24 % (Frost, Ristenpart & Guinard 2019), off an aim of 1.25 %.
        (1.25, EXACT, False, False),
        (1.02, EXACT, False, False),
        (1.00, EXACT, True, False),
        (1.48, EXACT, False, False),
        (1.50, EXACT, False, True),
        # A poor instrument carries less: 0.25 % off is not twice 0.15 %.
        (1.00, 0.15, False, False),
        (0.90, 0.15, True, False),
    ],
)
def test_strength_counts_from_the_published_threshold(
    strength_pct: float, error: float, weak: bool, strong: bool
) -> None:
    signals = read_signals(Evidence(strength_pct=Measured(strength_pct, error)))
    assert (signals.weak, signals.strong) == (weak, strong)


@given(st.floats(1.0, 1.6), st.floats(-0.239, 0.239), st.floats(0.0, 0.3))
def test_no_difference_below_the_threshold_counts(aim: float, off: float, error: float) -> None:
    signals = read_signals(Evidence(strength_pct=Measured(aim + off, error), aim_strength_pct=aim))
    assert not signals.weak
    assert not signals.strong


@pytest.mark.parametrize(
    ("extraction_pct", "error", "under", "over"),
    [
        (20.0, 0.5, False, False),
        (17.5, 0.5, False, False),
        (16.9, 0.5, True, False),
        (22.9, 0.5, False, False),
        (23.1, 0.5, False, True),
        (17.5, 0.2, True, False),
    ],
)
def test_extraction_counts_only_beyond_twice_its_error(
    extraction_pct: float, error: float, under: bool, over: bool
) -> None:
    signals = read_signals(Evidence(extraction_pct=Measured(extraction_pct, error)))
    assert (signals.under, signals.over) == (under, over)


@pytest.mark.parametrize(
    ("tastes", "extraction_pct", "under", "over", "contrary"),
    [
        ({Taste.SOUR}, None, True, False, False),
        ({Taste.BITTER}, None, False, True, False),
        ({Taste.SOUR}, 24.0, False, True, True),
        ({Taste.BITTER}, 15.0, True, False, True),
        ({Taste.SOUR}, 20.0, True, False, False),
    ],
)
def test_taste_and_measurement_together(
    tastes: set[Taste], extraction_pct: float | None, under: bool, over: bool, contrary: bool
) -> None:
    signals = read_signals(
        Evidence(
            tastes=frozenset(tastes),
            extraction_pct=None if extraction_pct is None else Measured(extraction_pct, 0.4),
        )
    )
    assert (signals.under, signals.over, signals.contrary) == (under, over, contrary)


@pytest.mark.parametrize(
    ("brew_s", "fast", "slow"),
    [(190, False, False), (143, False, False), (142, True, False), (238, False, True)],
)
def test_time_counts_from_a_quarter_off_its_plan(brew_s: float, fast: bool, slow: bool) -> None:
    signals = read_signals(Evidence(brew_s=brew_s, planned_s=190))
    assert (signals.fast, signals.slow) == (fast, slow)


@pytest.mark.parametrize(
    ("temperature_c", "cool", "hot"),
    # No fault is found with 87-96 °C as such (Batali, Ristenpart & Guinard 2020).
    [(86.9, True, False), (87.0, False, False), (96.0, False, False), (96.1, False, True)],
)
def test_temperature_is_no_fault_within_its_band(
    temperature_c: float, cool: bool, hot: bool
) -> None:
    signals = read_signals(Evidence(temperature_c=temperature_c))
    assert (signals.cool, signals.hot) == (cool, hot)


def test_worse_by_measurement_needs_more_than_both_errors() -> None:
    before = Evidence(extraction_pct=Measured(18.0, 0.4))
    evidence = Evidence(extraction_pct=Measured(17.0, 0.4), before=before)
    # 1.0 is less than 2 × √(0.4² + 0.4²) = 1.13, 1.2 is more.
    assert not read_signals(evidence).worse
    assert read_signals(replace(evidence, extraction_pct=Measured(16.8, 0.4))).worse


def test_one_change_is_the_last_and_two_are_too_many() -> None:
    one = read_signals(Evidence(changed=(Change(Move.FINER),)))
    two = read_signals(Evidence(changed=(Change(Move.FINER), Change(Move.HOTTER))))
    assert (one.last, one.several_changed) == (Change(Move.FINER), False)
    assert (two.last, two.several_changed) == (None, True)


def test_balanced_means_nothing_else_is_said() -> None:
    assert read_signals(Evidence(tastes=frozenset({Taste.BALANCED}))).balanced
    assert not read_signals(Evidence(tastes=frozenset({Taste.BALANCED, Taste.SOUR}))).balanced


def test_doubtful_flags_hold_up_no_advice() -> None:
    flags = [
        Flag(FlagKind.STALL, 1.0, 2.0, "pour 1", confidence=0.97),
        Flag(FlagKind.UNEVEN, 1.0, 9.0, "pour 1", confidence=0.6),
    ]
    assert sure_faults(flags) == {FlagKind.STALL}


def test_earlier_brews_stand_where_their_settings_do() -> None:
    first = Evidence(tastes=frozenset({Taste.SOUR}))
    second = Evidence(changed=(Change(Move.FINER),), before=first)
    third = Evidence(changed=(Change(Move.COARSER), Change(Move.HOTTER, 0.5)), before=second)
    assert list(earlier_brews(third)) == [
        ({Variable.GRIND: 1.0, Variable.TEMPERATURE: -0.5}, second),
        ({Variable.TEMPERATURE: -0.5}, first),
    ]
    # Against the first brew one thing alone is changed.
    assert read_signals(third).last == Change(Move.HOTTER, 0.5)
    assert not read_signals(third).several_changed


def test_what_was_changed_before_a_balanced_brew_is_another_search() -> None:
    old = Evidence(tastes=frozenset({Taste.BITTER}))
    good = Evidence(tastes=frozenset({Taste.BALANCED}), changed=(Change(Move.FINER),), before=old)
    now = Evidence(changed=(Change(Move.HOTTER),), before=good)
    assert [brew for _, brew in earlier_brews(now)] == [good]


def test_a_strength_brought_nearer_is_no_step_back_in_extraction() -> None:
    before = Evidence(extraction_pct=Measured(21.9, 0.1), strength_pct=Measured(1.7, 0.01))
    thinner = Evidence(
        extraction_pct=Measured(22.5, 0.1), strength_pct=Measured(1.5, 0.01), before=before
    )
    assert not read_signals(thinner).worse
    assert read_signals(replace(thinner, strength_pct=Measured(1.7, 0.01))).worse
