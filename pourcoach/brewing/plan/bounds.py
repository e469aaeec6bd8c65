"""What a plan may be at all, and what it is warned about. A warning refuses nothing."""

import math

from pourcoach.brewing.plan.brewer import BREWERS
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan

# What no hand brewer can do; the bounds are wide so that only slips of the finger are refused.
POSSIBLE: dict[str, tuple[float, float, str]] = {
    "dose_g": (3.0, 150.0, "g of coffee"),
    "ratio": (4.0, 40.0, "parts of water to one of coffee"),
    "water_g": (30.0, 3000.0, "g of water"),
    "cup_g": (20.0, 2500.0, "g in the cup"),
    "ice_g": (0.0, 1500.0, "g of ice"),
    "bypass_g": (0.0, 1500.0, "g added after the brew"),
    "bloom_multiple": (0.5, 20.0, "times the dose for the bloom"),
    "bloom_wait_s": (0.0, 300.0, "s of bloom wait"),
    "pours": (1.0, 12.0, "pours after the bloom"),
    "flow_gps": (0.5, 25.0, "g/s of flow"),
    "temperature_c": (40.0, 100.0, "°C"),
    "days_off_roast": (0.0, 3650.0, "days off roast"),
}
# A plan's last mark and its water may differ by rounding only.
_ROUNDING_G = 1.0

# All common practice.
USUAL_RATIO = (14.0, 20.0)
# With less water through the coffee than this, less comes out of it (common practice).
FULL_EXTRACTION_RATIO = 12.0
USUAL_BREW_S = (120.0, 300.0)
USUAL_TEMPERATURE_C = (92.0, 96.0)
USUAL_BLOOM_MULTIPLE = (1.5, 4.0)
USUAL_BLOOM_S = (15.0, 60.0)
USUAL_FLOW_GPS = (2.0, 10.0)


def refuse_outside(name: str, value: float) -> None:
    """Raise UsageError where the value of that key of ``POSSIBLE`` cannot be."""
    least, most, noun = POSSIBLE[name]
    if not math.isfinite(value) or not least <= value <= most:
        raise UsageError(
            f"{value:.4g} {noun} cannot be brewed by hand", f"use {least:g} to {most:g}"
        )


def refuse_impossible(plan: Plan) -> None:
    """Raise UsageError for a plan that cannot be brewed or contradicts itself."""
    refuse_outside("dose_g", plan.dose_g)
    refuse_outside("ratio", plan.ratio)
    refuse_outside("water_g", plan.water_g)
    refuse_outside("ice_g", plan.ice_g)
    refuse_outside("bypass_g", plan.bypass_g)
    if plan.temperature_c is not None:
        refuse_outside("temperature_c", plan.temperature_c)
    for stage in plan.stages:
        refuse_outside("flow_gps", stage.flow_gps)
        if not math.isfinite(stage.start_s + stage.to_g):
            raise UsageError(f"stage {stage.name!r} has no finite time and mark", "mend it")
    last_g = plan.stages[-1].to_g
    if abs(last_g - plan.water_g) > _ROUNDING_G:
        raise UsageError(
            f"the last stage ends at {last_g:g} g but the plan's water is {plan.water_g:g} g",
            "make them equal",
        )
    if abs(plan.dose_g * plan.ratio - plan.water_g) > _ROUNDING_G:
        raise UsageError(
            f"{plan.dose_g:g} g at 1:{plan.ratio:g} is not {plan.water_g:g} g of water",
            "make ratio water_g over dose_g",
        )
    last_s = plan.stage_end_s(len(plan.stages) - 1)
    if not last_s <= plan.finish_s < math.inf or not 0 <= plan.bloom_s < math.inf:
        raise UsageError(
            f"the plan finishes at {plan.finish_s:g} s, but pours until {last_s:g} s",
            "let finish_s come after the last pour and bloom_s be 0 or more",
        )


def plan_warnings(plan: Plan) -> tuple[str, ...]:
    """One sentence for each thing that lies outside what is usual; empty for a usual plan."""
    warnings = []
    ratio = plan.cup_ratio
    if _outside(ratio, USUAL_RATIO):
        warnings.append(
            f"the ratio 1:{ratio:.3g} lies outside 1:14-1:20: expect a "
            + ("very strong cup" if ratio < USUAL_RATIO[0] else "thin cup")
        )
    if plan.added_g and plan.ratio < FULL_EXTRACTION_RATIO:
        warnings.append(
            f"only {plan.ratio:.3g} g of water run through each gram of coffee: less is extracted "
            "than usual; grind a little finer"
        )
    if _outside(plan.finish_s, USUAL_BREW_S):
        warnings.append(
            f"the brew takes {clock(plan.finish_s)}, outside 2-5 minutes: change the dose, "
            "the flow or the number of pours"
        )
    if plan.temperature_c is not None and _outside(plan.temperature_c, USUAL_TEMPERATURE_C):
        warnings.append(f"{plan.temperature_c:.3g} °C lies outside 92-96 °C; taste decides")
    bloom_multiple = plan.stages[0].to_g / plan.dose_g
    if plan.bloom_s > 0 and _outside(bloom_multiple, USUAL_BLOOM_MULTIPLE):
        warnings.append(
            f"a bloom of {bloom_multiple:.2g} times the dose "
            + (
                "may leave grounds dry"
                if bloom_multiple < USUAL_BLOOM_MULTIPLE[0]
                else "brews already"
            )
        )
    if plan.bloom_s > 0 and _outside(plan.bloom_s, USUAL_BLOOM_S):
        warnings.append(
            f"the next pour comes {plan.bloom_s:g} s after the first water; 15-60 s is usual"
        )
    for stage in plan.stages:
        if _outside(stage.flow_gps, USUAL_FLOW_GPS):
            warnings.append(
                f"{stage.name}: {stage.flow_gps:g} g/s is hard to hold by hand; 2-10 g/s is usual"
            )
            break
    kind = BREWERS.get(plan.brewer or "")
    if kind is not None and plan.dose_g > kind.most_dose_g:
        warnings.append(
            f"{plan.dose_g:g} g is much for a {kind.means}, about {kind.most_dose_g:g} g at most: "
            "the bed is deep, slow and near the rim, and hot water over the edge scalds"
        )
    return tuple(warnings)


def _outside(value: float, bounds: tuple[float, float]) -> bool:
    return not bounds[0] <= value <= bounds[1]
