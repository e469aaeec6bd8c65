"""A pour plan as figures and as a page of text."""

from typing import Any

from pourcoach.brewing.plan.ice import SERVER_CAUTION
from pourcoach.brewing.plan.pour_plan import WorkedPlan
from pourcoach.brewing.temperature.scald import scald_caution
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.plan import Plan
from pourcoach.reports.trade.plan_picture import picture


def plan_figures(worked: WorkedPlan) -> dict[str, Any]:
    """The figures of ``--json``: the plan as on a tape, with its warnings and reasons."""
    return worked.plan.as_dict() | {"warnings": worked.warnings, "reasons": worked.reasons}


def plan_lines(worked: WorkedPlan, *, why: bool, ascii_only: bool) -> list[str]:
    """The plan as a page of text."""
    plan = worked.plan
    heading = f"{plan.dose_g:g} g coffee, {plan.water_g:g} g water{_added(plan)}, 1:{_ratio(plan)}"
    if plan.temperature_c is not None:
        heading += f", {plan.temperature_c:.3g} °C"
    if plan.brewer is not None:
        heading += f", {plan.brewer}"
    lines = [heading, "", *_table(plan), "", *picture(plan, ascii_only=ascii_only)]
    lines += ["", *notes] if (notes := _notes(plan)) else []
    if worked.warnings:
        lines += ["", *(f"Note: {warning}" for warning in worked.warnings)]
    caution = None if plan.temperature_c is None else scald_caution(plan.temperature_c)
    if caution is not None:
        lines += ["", f"Caution: {caution}"]
    if plan.ice_g:
        lines += [] if caution is not None else [""]
        lines.append(f"Caution: {SERVER_CAUTION}")
    if why:
        lines += ["", "Why:", *(f"- {reason}" for reason in worked.reasons)]
    return lines


def _added(plan: Plan) -> str:
    ice = f" + {plan.ice_g:g} g ice" if plan.ice_g else ""
    return ice + (f" + {plan.bypass_g:g} g after the brew" if plan.bypass_g else "")


def _ratio(plan: Plan) -> str:
    return f"{plan.cup_ratio:.3g}" + (" in all" if plan.added_g else "")


def _notes(plan: Plan) -> list[str]:
    """What is to be done beside the pours."""
    notes = []
    if plan.ice_g:
        notes.append(f"Before: put {plan.ice_g:g} g of ice into the server, then tare.")
    if plan.bypass_g:
        notes.append(f"After: add {plan.bypass_g:g} g of water to the cup.")
    return notes


def _table(plan: Plan) -> list[str]:
    rows: list[tuple[str, ...]] = [("stage", "start", "pour g", "to g", "g/s", "until", "then")]
    for index, stage in enumerate(plan.stages):
        rows.append(
            (
                stage.name,
                clock(stage.start_s),
                f"{stage.to_g - plan.stage_from_g(index):.0f}",
                f"{stage.to_g:.0f}",
                f"{stage.flow_gps:.1f}",
                clock(plan.stage_end_s(index)),
                "" if stage.then is None else stage.then.value,
            )
        )
    rows.append(("drained", clock(plan.finish_s), "", "", "", "", ""))
    if not any(stage.then for stage in plan.stages):
        rows = [row[:-1] for row in rows]
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [
        "  ".join(
            cell.ljust(width) if column == 0 else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
