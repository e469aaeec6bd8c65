"""A plan as TOML text and back. Whoever has the file reads and writes it.

A plan file may be resolved (it has ``stages``) or short: the fields of ``PlanRequest``.
"""

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

import tomli_w

from pourcoach.brewing.plan.bounds import plan_warnings, refuse_impossible
from pourcoach.brewing.plan.brewer import BREWERS
from pourcoach.brewing.plan.pour_plan import WorkedPlan, work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.brewing.plan.water_level import refuse_overflow
from pourcoach.domain.documents import DocumentError, from_toml
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage


def plan_to_toml(plan: Plan) -> str:
    """The resolved plan, keys as on a tape. ``plan_from_toml`` gives an equal plan back."""
    return tomli_w.dumps(plan.as_dict())


def refuse_unknown_keys(data: Mapping[str, Any]) -> None:
    """Raise UsageError naming a key that no plan has, for a file that was typed by hand."""
    _refuse_unknown(data, {field.name for field in fields(Plan)}, "plan")
    stages = data["stages"]
    for stage in stages if isinstance(stages, list) else ():
        if isinstance(stage, Mapping):
            _refuse_unknown(stage, {field.name for field in fields(Stage)}, "stage")


def _refuse_unknown(data: Mapping[str, Any], known: set[str], noun: str) -> None:
    for key in data:
        if key not in known:
            raise UsageError(
                f"unknown {noun} key {key!r:.60}", "known ones are " + ", ".join(sorted(known))
            )


def plan_from_toml(text: str) -> WorkedPlan:
    """Read either form. Raises UsageError for text that is no TOML or no plan."""
    try:
        data = from_toml(text)
    except DocumentError as error:
        raise UsageError(f"the plan file is not TOML: {error}", "mend or save it anew") from None
    if "stages" not in data:
        return work_out(PlanRequest.from_dict(data))
    refuse_unknown_keys(data)
    plan = Plan.from_dict(data)
    refuse_impossible(plan)
    if plan.brewer in BREWERS:
        refuse_overflow(plan, BREWERS[plan.brewer])
    return WorkedPlan(plan, plan_warnings(plan), ("as it stands in the plan file",))
