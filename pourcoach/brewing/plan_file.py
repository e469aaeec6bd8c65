"""A plan as TOML text and back. Whoever has the file reads and writes it.

A plan file may be resolved (it has ``stages``) or short: the fields of ``PlanRequest``.
"""

import tomli_w

from pourcoach.brewing.plan_bounds import plan_warnings, refuse_impossible
from pourcoach.brewing.plan_request import PlanRequest
from pourcoach.brewing.pour_plan import WorkedPlan, work_out
from pourcoach.domain.documents import DocumentError, from_toml
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan


def plan_to_toml(plan: Plan) -> str:
    """The resolved plan, keys as on a tape. ``plan_from_toml`` gives an equal plan back."""
    return tomli_w.dumps(plan.as_dict())


def plan_from_toml(text: str) -> WorkedPlan:
    """Read either form. Raises UsageError for text that is no TOML or no plan."""
    try:
        data = from_toml(text)
    except DocumentError as error:
        raise UsageError(f"the plan file is not TOML: {error}", "mend or save it anew") from None
    if "stages" not in data:
        return work_out(PlanRequest.from_dict(data))
    plan = Plan.from_dict(data)
    refuse_impossible(plan)
    return WorkedPlan(plan, plan_warnings(plan), ("as it stands in the plan file",))
