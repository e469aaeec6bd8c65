"""A plan as TOML text and back. Whoever has the file reads and writes it.

A plan file may be resolved (it has ``stages``) or short: the fields of ``PlanRequest``.
"""

import tomli_w

from pourcoach.brewing.plan.bounds import plan_warnings, refuse_impossible
from pourcoach.brewing.plan.brewer import BREWERS
from pourcoach.brewing.plan.pour_plan import WorkedPlan, work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.brewing.plan.water_level import refuse_overflow
from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.plan import Plan


def plan_to_toml(plan: Plan) -> str:
    """The resolved plan, keys as on a tape. ``plan_from_toml`` gives an equal plan back."""
    return tomli_w.dumps(plan.as_dict())


def plan_from_toml(text: str) -> WorkedPlan:
    """Read either form. Raises UsageError for text that is no TOML or no plan."""
    table = CheckedTable.from_toml("the plan file", text)
    if "stages" not in table:
        request = PlanRequest.from_table(table)
        table.done()
        return work_out(request)
    plan = Plan.from_table(table)
    table.done()
    refuse_impossible(plan)
    if plan.brewer in BREWERS:
        refuse_overflow(plan, BREWERS[plan.brewer])
    return WorkedPlan(plan, plan_warnings(plan), ("as it stands in the plan file",))
