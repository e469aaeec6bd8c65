"""What a review leads with."""

from pourcoach.coaching.marking.marking import mark
from pourcoach.coaching.marking.rubric import read_rubric
from pourcoach.domain.advice import Flag, FlagKind, Risk, RiskLevel
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.reports.brew.verdict import Verdict, VerdictKind, judged_risk, risk_or_why_not
from pourcoach.reports.brew.verdict import verdict as verdict_of
from tests.reports.made_brew import KNOCK, PLAN, STALL, STEADY, USUAL_RUBRIC, last_frame, stage_pour


def verdict(
    frame: Frame,
    plan: Plan | None,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
) -> Verdict:
    return verdict_of(frame, plan, mark(frame, plan, USUAL_RUBRIC, arrangement), arrangement)


def test_a_fault_leads_with_its_evidence_and_advice() -> None:
    lead = verdict(last_frame(flags=(STALL,)), PLAN)
    assert (lead.found, lead.headline) == (VerdictKind.FAULT, "KEEP POURING")
    assert "1.5 s in pour 2" in lead.evidence
    assert lead.advice.startswith("Fill the kettle")


def test_no_fault_says_that_a_scale_sees_only_so_much() -> None:
    lead = verdict(last_frame(), PLAN)
    assert (lead.found, lead.headline) == (VerdictKind.NO_FAULT, "NO FAULT")
    assert lead.evidence == "Everything that a scale can see was within the plan's limits."


def test_no_fault_found_past_a_knock_says_that_a_part_was_not_judged() -> None:
    lead = verdict(last_frame(flags=(KNOCK,)), PLAN)
    assert lead.found is VerdictKind.NO_FAULT
    assert "disturbed or silent for a part" in lead.evidence


def test_without_a_plan_no_fault_means_less() -> None:
    lead = verdict(last_frame(plan=None), None)
    assert lead.evidence.startswith("There is no plan to judge by")


def test_a_brew_left_early_is_not_called_faultless() -> None:
    lead = verdict(last_frame(STEADY[:2]), PLAN)
    assert (lead.found, lead.headline) == (VerdictKind.TOO_LITTLE, "CUT SHORT")
    assert lead.evidence == "The brew ended at 181 g of 320 g."


def test_with_the_server_on_the_scale_less_coffee_than_water_is_no_fault() -> None:
    lead = verdict(last_frame(STEADY[:2]), PLAN, Arrangement.SERVER_ON_SCALE)
    assert lead.headline == "NO FAULT"
    assert "the pours themselves were not weighed" in lead.evidence


def test_with_the_server_on_the_scale_no_risk_is_given() -> None:
    frame = last_frame()
    (said,) = risk_or_why_not(frame, Arrangement.SERVER_ON_SCALE)
    assert "not judged" in said
    assert "low" in risk_or_why_not(frame, Arrangement.BREWER_ON_SCALE)[0]


def test_a_brew_that_ended_in_the_bloom_has_no_risk_unless_something_was_seen() -> None:
    stays = Arrangement.BREWER_ON_SCALE
    (said,) = risk_or_why_not(last_frame(STEADY[:1]), stays)
    assert said.endswith("not judged, since the brew ended before its second pour.")
    assert judged_risk(last_frame(STEADY[:1]), stays) is None
    assert judged_risk(last_frame(STEADY[:2]), stays) is RiskLevel.LOW
    seen = last_frame(STEADY[:1])._replace(risk=Risk(RiskLevel.RAISED, (STALL,)))
    assert judged_risk(seen, stays) is RiskLevel.RAISED
    assert judged_risk(last_frame(), Arrangement.SERVER_ON_SCALE) is None


def test_a_brew_without_water_has_no_risk() -> None:
    assert judged_risk(last_frame(()), Arrangement.BREWER_ON_SCALE) is None
    (said,) = risk_or_why_not(last_frame(()), Arrangement.BREWER_ON_SCALE)
    assert "not judged" in said


def test_a_mark_missed_is_not_everything_within_limits() -> None:
    strict = read_rubric('[[criterion]]\ntitle = "Landing"\nmeasure = "landing_off_g"\nmost = 0.5')
    frame = last_frame()
    lead = verdict_of(frame, PLAN, mark(frame, PLAN, strict))
    assert (lead.found, lead.headline) == (VerdictKind.FAULT, "NEAR MISS")
    assert "Landing (pour 1), 1 g (up to 0.5 g)" in lead.evidence


def test_a_brew_with_all_its_water_is_never_asked_to_pour_it_all() -> None:
    short = Flag(
        FlagKind.SHORT,
        39.0,
        60.0,
        "pour 1",
        0.99,
        {"off_g": -30.0, "mark_g": 180.0, "reached_g": 150.0, "allowed_g": 9.0},
        True,
    )
    over = Flag(
        FlagKind.OVERSHOOT,
        90.0,
        130.0,
        "pour 2",
        0.99,
        {"off_g": 100.0, "mark_g": 320.0, "reached_g": 420.0, "allowed_g": 16.0},
        True,
    )
    stages = (*STEADY[:2], stage_pour("pour 2", 86.0, 150.0, 420.0))
    assert verdict(last_frame(stages, (short,)), PLAN).headline == "TO EACH MARK"
    assert verdict(last_frame(stages, (short, over)), PLAN).headline == "STOP SOONER"
    few = (*STEADY[:1], stage_pour("pour 1", 35.0, 40.0, 150.0))
    assert verdict(last_frame(few, (short,)), PLAN).headline == "POUR IT ALL"


def test_a_brew_without_water_asks_to_look_at_the_scale() -> None:
    lead = verdict(last_frame(()), PLAN)
    assert (lead.found, lead.headline) == (VerdictKind.TOO_LITTLE, "NO WATER")
