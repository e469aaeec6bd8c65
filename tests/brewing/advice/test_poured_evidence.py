import pytest

from pourcoach.brewing.advice.poured_evidence import evidence_of
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.advice import Flag, FlagKind, RiskLevel
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Finish, Reading
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.pour import Ending
from pourcoach.pipeline import Pipeline

PLAN = work_out(PlanRequest(dose_g=8.0, pours=1, bloom_wait_s=10.0, flow_gps=8.0)).plan


@pytest.fixture(scope="module")
def finished() -> Frame:
    pipeline = Pipeline(PLAN)
    for tick in range(700):
        grams = round(PLAN.target_g(tick / 10 - 5.0), 1)
        pipeline.feed(Reading(tick / 10, grams))
    pipeline.feed(Finish(70.0))
    return pipeline.finish(70.1)


def test_the_keys_end_shows_when_it_had_drained(finished: Frame) -> None:
    evidence = evidence_of(finished, PLAN)
    assert finished.pour.ending is Ending.KEY
    assert evidence.brew_s == finished.pour.brew_s
    assert (evidence.planned_s, evidence.temperature_c) == (PLAN.finish_s, 94.0)
    assert (evidence.faults, evidence.risk) == (frozenset(), RiskLevel.LOW)


@pytest.mark.parametrize("ending", [Ending.RESTED, Ending.TAPE, None])
def test_a_resting_weight_does_not(finished: Frame, ending: Ending | None) -> None:
    frame = finished._replace(pour=finished.pour._replace(ending=ending))
    assert evidence_of(frame, PLAN).brew_s is None


def test_the_end_of_the_drip_does(finished: Frame) -> None:
    frame = finished._replace(pour=finished.pour._replace(ending=Ending.RESTED))
    evidence = evidence_of(frame, PLAN, Arrangement.SERVER_ON_SCALE)
    assert evidence.brew_s == finished.pour.brew_s


def test_without_a_plan_there_is_nothing_to_be_late_to(finished: Frame) -> None:
    evidence = evidence_of(finished, None)
    assert (evidence.planned_s, evidence.temperature_c) == (None, None)


def test_sure_flags_are_faults(finished: Frame) -> None:
    flag = Flag(FlagKind.STALL, 20.0, 22.0, "pour 1", confidence=0.95)
    assert evidence_of(finished._replace(flags=(flag,)), PLAN).faults == {FlagKind.STALL}


@pytest.mark.parametrize(
    ("arrangement", "faults"),
    [(Arrangement.BREWER_ON_SCALE, {FlagKind.SHORT}), (Arrangement.SERVER_ON_SCALE, set())],
)
def test_a_brew_cut_short_is_at_fault_where_its_water_was_weighed(
    finished: Frame, arrangement: Arrangement, faults: set[FlagKind]
) -> None:
    frame = finished._replace(pour=finished.pour._replace(water_g=42.0))
    assert evidence_of(frame, PLAN, arrangement).faults == faults
    assert evidence_of(frame, None, arrangement).faults == set()
