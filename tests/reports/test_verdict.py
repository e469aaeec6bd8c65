"""What a review leads with."""

from pourcoach.reports.verdict import verdict
from tests.reports.made_brew import KNOCK, PLAN, STALL, STEADY, last_frame


def test_a_fault_leads_with_its_evidence_and_advice() -> None:
    headline, evidence, advice = verdict(last_frame(flags=(STALL,)), PLAN)
    assert headline == "KEEP POURING"
    assert "1.5 s in pour 2" in evidence
    assert advice.startswith("Fill the kettle")


def test_no_fault_says_that_a_scale_sees_only_so_much() -> None:
    assert verdict(last_frame(), PLAN)[:2] == (
        "NO FAULT",
        "Everything that a scale can see was within the plan's limits.",
    )


def test_no_fault_found_past_a_knock_says_that_a_part_was_not_judged() -> None:
    headline, evidence, _ = verdict(last_frame(flags=(KNOCK,)), PLAN)
    assert headline == "NO FAULT"
    assert "disturbed or silent for a part" in evidence


def test_without_a_plan_no_fault_means_less() -> None:
    _, evidence, _ = verdict(last_frame(plan=None), None)
    assert evidence.startswith("There is no plan to judge by")


def test_a_brew_left_early_is_not_called_faultless() -> None:
    headline, evidence, _ = verdict(last_frame(STEADY[:2]), PLAN)
    assert headline == "CUT SHORT"
    assert evidence == "The brew ended at 181 g of 320 g."


def test_a_brew_without_water_asks_to_look_at_the_scale() -> None:
    assert verdict(last_frame(()), PLAN).headline == "NO WATER"
