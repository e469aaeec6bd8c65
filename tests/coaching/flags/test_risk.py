"""The channeling risk: its level, its reasons, and what the bed looked like."""

import pytest

from pourcoach.coaching.flags.risk import BedAgreement, BedLook, bed_agreement, risk_of
from pourcoach.domain.advice import Flag, FlagKind, Risk, RiskLevel


def stall(lasted_s: float = 2.0, confidence: float = 0.95, start_s: float = 40.0) -> Flag:
    evidence = {"lasted_s": lasted_s, "lowest_gps": 0.0, "usual_gps": 5.0}
    return Flag(FlagKind.STALL, start_s, start_s + lasted_s, "pour 1", confidence, evidence)


def uneven(flow_cv: float, start_s: float = 30.0) -> Flag:
    evidence = {"flow_cv": flow_cv, "flow_cv_error": 0.01, "allowed_cv": 0.2}
    return Flag(FlagKind.UNEVEN, start_s, start_s + 20.0, "pour 1", 0.95, evidence)


LATE = Flag(FlagKind.LATE, 70.0, 82.0, "pour 2", 0.99, {"off_s": 12.0})


@pytest.mark.parametrize(
    ("flags", "level"),
    [
        ((), RiskLevel.LOW),
        ((LATE,), RiskLevel.LOW),
        ((stall(confidence=0.4),), RiskLevel.LOW),
        ((stall(),), RiskLevel.RAISED),
        ((stall(), uneven(0.25)), RiskLevel.RAISED),
        ((stall(), uneven(0.25), stall(start_s=60.0)), RiskLevel.HIGH),
        ((stall(4.0), uneven(0.45)), RiskLevel.HIGH),
    ],
)
def test_level(flags: tuple[Flag, ...], level: RiskLevel) -> None:
    assert risk_of(flags).level is level


def test_reasons_come_gravest_first_and_only_flow_is_a_reason() -> None:
    mild, grave = stall(), stall(5.0, start_s=90.0)
    assert risk_of((mild, LATE, grave)).reasons == (grave, mild)


@pytest.mark.parametrize(
    ("level", "look", "expected"),
    [
        (RiskLevel.LOW, BedLook.FLAT, BedAgreement.BOTH_CALM),
        (RiskLevel.LOW, BedLook.CRATER, BedAgreement.BOTH_CALM),
        (RiskLevel.LOW, BedLook.DRY_PATCH, BedAgreement.BED_ONLY),
        (RiskLevel.RAISED, BedLook.FLAT, BedAgreement.POUR_ONLY),
        (RiskLevel.HIGH, BedLook.HOLE, BedAgreement.BOTH_SUGGEST),
    ],
)
def test_the_bed_beside_the_risk(level: RiskLevel, look: BedLook, expected: BedAgreement) -> None:
    assert bed_agreement(Risk(level, ()), look) is expected
