"""What a review leads with."""

from pourcoach.domain.plan import Arrangement
from pourcoach.reports.verdict import Found, risk_told, verdict
from tests.reports.made_brew import KNOCK, PLAN, STALL, STEADY, last_frame


def test_a_fault_leads_with_its_evidence_and_advice() -> None:
    lead = verdict(last_frame(flags=(STALL,)), PLAN)
    assert (lead.found, lead.headline) == (Found.FAULT, "KEEP POURING")
    assert "1.5 s in pour 2" in lead.evidence
    assert lead.advice.startswith("Fill the kettle")


def test_no_fault_says_that_a_scale_sees_only_so_much() -> None:
    lead = verdict(last_frame(), PLAN)
    assert (lead.found, lead.headline) == (Found.NO_FAULT, "NO FAULT")
    assert lead.evidence == "Everything that a scale can see was within the plan's limits."


def test_no_fault_found_past_a_knock_says_that_a_part_was_not_judged() -> None:
    lead = verdict(last_frame(flags=(KNOCK,)), PLAN)
    assert lead.found is Found.NO_FAULT
    assert "disturbed or silent for a part" in lead.evidence


def test_without_a_plan_no_fault_means_less() -> None:
    lead = verdict(last_frame(plan=None), None)
    assert lead.evidence.startswith("There is no plan to judge by")


def test_a_brew_left_early_is_not_called_faultless() -> None:
    lead = verdict(last_frame(STEADY[:2]), PLAN)
    assert (lead.found, lead.headline) == (Found.TOO_LITTLE, "CUT SHORT")
    assert lead.evidence == "The brew ended at 181 g of 320 g."


def test_with_the_server_on_the_scale_less_coffee_than_water_is_no_fault() -> None:
    lead = verdict(last_frame(STEADY[:2]), PLAN, Arrangement.SERVER_ON_SCALE)
    assert lead.headline == "NO FAULT"
    assert "the pours themselves were not weighed" in lead.evidence


def test_with_the_server_on_the_scale_no_risk_is_told() -> None:
    risk = last_frame().risk
    (said,) = risk_told(risk, Arrangement.SERVER_ON_SCALE)
    assert "not judged" in said
    assert "low" in risk_told(risk, Arrangement.BREWER_ON_SCALE)[0]


def test_a_brew_without_water_asks_to_look_at_the_scale() -> None:
    lead = verdict(last_frame(()), PLAN)
    assert (lead.found, lead.headline) == (Found.TOO_LITTLE, "NO WATER")
