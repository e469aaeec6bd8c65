"""From what is wanted in the cup to a resolved pour plan."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pourcoach.brewing.plan.bloom import bloom_wait
from pourcoach.brewing.plan.bounds import POSSIBLE, USUAL_BREW_S, plan_warnings, refuse_outside
from pourcoach.brewing.plan.brewer import BREWERS, BrewerKind, brewer_kind
from pourcoach.brewing.plan.ice import DRIPS_AT_C, chill
from pourcoach.brewing.plan.pour_stages import LEAST_REST_S, pour_stages
from pourcoach.brewing.plan.request import DEFAULT_RATIO, PlanRequest
from pourcoach.brewing.plan.water_level import refuse_overflow
from pourcoach.brewing.strength.extraction import RETAINED_G_PER_G, strength_drip_classic
from pourcoach.brewing.strength.published_targets import CLASSIC_EXTRACTION_PCT
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.units import Grams, Seconds

# With less water on it, coffee gives too little, however fine it is ground; common practice.
LEAST_POURED_RATIO = 6.0
# Flows that a hand still holds, to try where a brew would take too long.
_FASTER_GPS = (6.0, 8.0, 10.0)


@dataclass(frozen=True, slots=True)
class WorkedPlan:
    """A plan with what should be said beside it."""

    plan: Plan
    warnings: tuple[str, ...]
    """One sentence each; empty where all is usual."""
    reasons: tuple[str, ...]
    """Why the plan is as it is, for whoever asks."""


def work_out(request: PlanRequest) -> WorkedPlan:
    """Resolve a request. Raises UsageError in one sentence for what cannot be brewed."""
    worked = _resolved(request)
    if worked.plan.finish_s <= USUAL_BREW_S[1]:
        return worked
    ways = ", ".join(_shorter_ways(request, worked.plan)) or "nothing else here"
    note = f"to stay within 5:00: {ways}; or a coarser grind, of which the plan knows nothing"
    return replace(worked, warnings=(*worked.warnings, note))


def _shorter_ways(request: PlanRequest, plan: Plan) -> Iterator[str]:
    """Single changes to the request that bring the brew back within the usual time."""
    slowest_gps = min(stage.flow_gps for stage in plan.stages)
    pours = len(plan.stages) - 1
    tries = [
        [(f"a {name}", replace(request, brewer=name)) for name in BREWERS if name != plan.brewer],
        [(f"{n} pours", replace(request, pours=n)) for n in range(pours - 1, 0, -1)],
        [
            (f"{flow:g} g/s of flow", replace(request, flow_gps=flow))
            for flow in _FASTER_GPS
            if flow > slowest_gps
        ],
        [
            (
                f"{dose:g} g of coffee at the same ratio",
                replace(request, dose_g=dose, ratio=plan.cup_ratio, water_g=None, cup_g=None),
            )
            for dose in map(float, range(int(plan.dose_g), 0, -1))
            if dose < plan.dose_g
        ],
    ]
    for kind_of_way in tries:
        for said, changed in kind_of_way:
            try:
                finish_s = _resolved(changed).plan.finish_s
            except UsageError:
                continue
            if finish_s <= USUAL_BREW_S[1]:
                yield f"{said} ({clock(finish_s)})"
                break


def _resolved(request: PlanRequest) -> WorkedPlan:
    for name in POSSIBLE:
        value = getattr(request, name)
        if value is not None:
            refuse_outside(name, value)
    kind = brewer_kind(request.brewer)
    dose_g, water_g, mass_reason = _masses(request, kind)
    flow_gps = kind.flow_gps if request.flow_gps is None else request.flow_gps

    bloom_g = float(round(dose_g * request.bloom_multiple))
    if bloom_g >= water_g:
        raise UsageError(
            f"a bloom of {bloom_g:g} g is not less than the {water_g:g} g of water poured in all",
            "use a smaller bloom or more water",
        )
    bloom_s, bloom_reasons = _bloom(request, dose_g, bloom_g / flow_gps)
    bloom = Stage("bloom", 0.0, bloom_g, flow_gps, request.bloom_then)
    stages, finish_s, pour_reasons = pour_stages(
        kind, dose_g, bloom, bloom_s, water_g, request.pours
    )
    plan = Plan(
        dose_g=dose_g,
        ratio=water_g / dose_g,
        water_g=water_g,
        bloom_s=bloom_s,
        finish_s=finish_s,
        stages=stages,
        temperature_c=request.temperature_c,
        brewer=kind.name,
        ice_g=request.ice_g,
        bypass_g=request.bypass_g,
    )
    refuse_overflow(plan, kind, pours_given=request.pours is not None)
    reasons = (
        mass_reason,
        f"bloom water: {request.bloom_multiple:g} times the dose",
        *bloom_reasons,
        *pour_reasons,
        f"rests and finish: the wet bed of a {kind.means} passes about {kind.drain_gps:g} g/s "
        "(common practice); the next pour begins when half of the standing water is through, and "
        f"no sooner than after {LEAST_REST_S:g} s",
        *_added_reasons(plan),
        _strength_reason(plan),
    )
    return WorkedPlan(plan, plan_warnings(plan), reasons)


def _added_reasons(plan: Plan) -> list[str]:
    reasons = []
    if plan.ice_g:
        coffee_g = plan.water_g - RETAINED_G_PER_G * plan.dose_g
        chilled = chill(coffee_g, plan.ice_g)
        ends = (
            f"all of it melts and the cup comes to about {chilled.temperature_c:.0f} °C"
            if not chilled.left_g
            else f"about {chilled.left_g:.0f} g of it stay, and the cup is stronger until they melt"
        )
        reasons.append(
            f"ice: {plan.ice_g:g} g of the water; under {coffee_g:.0f} g of coffee at about "
            f"{DRIPS_AT_C:g} °C {ends} (heat balance, heats from handbooks, from memory)"
        )
    if plan.bypass_g:
        reasons.append(f"bypass: {plan.bypass_g:g} g of the water, added to the cup after the brew")
    return reasons


def _strength_reason(plan: Plan) -> str:
    low, high = (
        strength_drip_classic(extraction_pct, plan.cup_ratio, RETAINED_G_PER_G)
        for extraction_pct in CLASSIC_EXTRACTION_PCT
    )
    least, most = CLASSIC_EXTRACTION_PCT
    added = ", ice and bypass in the cup" if plan.added_g else ""
    return (
        f"strength to expect: {low:.2f}-{high:.2f} % at {least:g}-{most:g} % extraction "
        f"(classic drip form, {RETAINED_G_PER_G:g} g kept by each gram{added})"
    )


def _masses(request: PlanRequest, kind: BrewerKind) -> tuple[Grams, Grams, str]:
    """Dose, water to pour, and why."""
    amounts = {"ratio": request.ratio, "water": request.water_g, "cup": request.cup_g}
    given = [name for name, value in amounts.items() if value is not None]
    if "water" in given and "cup" in given:
        raise UsageError("water and cup both say how much", "give one of the two")
    if request.dose_g is not None and len(given) > 1:
        raise UsageError(
            f"dose, {given[0]} and {given[1]} are one too many", "leave one of them out"
        )
    ratio = DEFAULT_RATIO if request.ratio is None else request.ratio
    kept = RETAINED_G_PER_G
    added_g = request.ice_g + request.bypass_g
    if request.cup_g is not None:
        dose_g = request.dose_g
        if dose_g is None:
            dose_g = _tenth(request.cup_g / (ratio - kept))
        water_g = _tenth(request.cup_g + kept * dose_g)
        why = f"water: {request.cup_g:g} g in the cup and {kept:g} g kept by each gram of grounds"
    elif request.water_g is not None:
        dose_g = request.dose_g
        if dose_g is None:
            dose_g = _tenth(request.water_g / ratio)
        water_g = request.water_g
        why = f"ratio: {water_g:g} g of water on {dose_g:g} g of coffee"
    else:
        dose_g = kind.dose_g if request.dose_g is None else request.dose_g
        water_g = _tenth(dose_g * ratio)
        why = f"water: {ratio:g} times {dose_g:g} g of coffee"
    for name, value in (("dose_g", dose_g), ("ratio", water_g / dose_g), ("water_g", water_g)):
        refuse_outside(name, value)
    poured_g = _tenth(water_g - added_g)
    if added_g:
        why += f"; {poured_g:g} g of it poured, the rest ice or added after the brew"
        if poured_g < LEAST_POURED_RATIO * dose_g:
            raise UsageError(
                f"{added_g:g} g of ice and bypass leave {max(poured_g, 0.0):g} g to pour on "
                f"{dose_g:g} g of coffee",
                f"leave at least {LEAST_POURED_RATIO:g} g for each gram, or little is extracted",
            )
    return dose_g, poured_g if added_g else water_g, why


def _bloom(
    request: PlanRequest, dose_g: Grams, poured_s: Seconds
) -> tuple[Seconds, tuple[str, ...]]:
    """From first water to the next pour, and why."""
    if request.bloom_wait_s is not None:
        return poured_s + request.bloom_wait_s, (
            f"bloom wait: {request.bloom_wait_s:g} s, as asked",
        )
    rule = bloom_wait(dose_g, poured_s, request.roast, request.days_off_roast)
    return poured_s + rule.wait_s, tuple(f"bloom wait: {reason}" for reason in rule.reasons)


def _tenth(grams: Grams) -> Grams:
    return round(grams, 1)
