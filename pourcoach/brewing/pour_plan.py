"""From what is wanted in the cup to a resolved pour plan."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, Self

from pourcoach.brewing.bloom import LEAST_WAIT_S, MOST_WAIT_S, Roast, bloom_wait
from pourcoach.brewing.brewer import DEFAULT_BREWER, BrewerKind, brewer_kind
from pourcoach.brewing.extraction import RETAINED_G_PER_G, strength_drip_classic
from pourcoach.brewing.plan_bounds import POSSIBLE, plan_warnings, refuse_outside
from pourcoach.brewing.published_targets import CLASSIC_EXTRACTION_PCT
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.units import Celsius, Grams, GramsPerSecond, Seconds

# Common practice, all of it.
DEFAULT_RATIO = 16.0
DEFAULT_BLOOM_MULTIPLE = 2.0
DEFAULT_TEMPERATURE_C = 94.0
# Half of the standing water gone: the bed stays covered and the slurry keeps its heat.
_REST_UNTIL_SHARE = 0.5
# Shorter rests are no rests: neither the hand nor the scale tells the two pours apart.
_LEAST_REST_S = 10.0
# Starts that the rule chooses fall on whole fives, so that they can be kept in mind.
_BEAT_S = 5.0
# A smaller pour is over before a hand has found its flow; common practice.
_LEAST_POUR_G = 5.0


@dataclass(frozen=True, slots=True)
class PlanRequest:
    """What is wanted. None takes the brewer's or the trade's usual value.

    Of dose, ratio and water (or cup) any two settle the third; with fewer, the usual ratio and
    then the brewer's usual dose stand in.
    """

    dose_g: Grams | None = None
    ratio: float | None = None
    water_g: Grams | None = None
    cup_g: Grams | None = None
    """Beverage in the cup, instead of ``water_g``: what the grounds keep is added."""
    bloom_multiple: float = DEFAULT_BLOOM_MULTIPLE
    """Bloom water over dose."""
    bloom_wait_s: Seconds | None = None
    """From the end of the bloom's pour to the next pour; None: the house rule."""
    pours: int | None = None
    """After the bloom."""
    flow_gps: GramsPerSecond | None = None
    brewer: str = DEFAULT_BREWER
    temperature_c: Celsius = DEFAULT_TEMPERATURE_C
    roast: Roast | None = None
    days_off_roast: float | None = None

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Read fields by name, as they stand in a file; ``roast`` by its word.

        Raises UsageError for an unknown key, a wrong type or an unknown roast.
        """
        known = {f.name for f in fields(cls)}
        values: dict[str, Any] = {}
        for key, value in data.items():
            if key not in known:
                raise UsageError(
                    f"unknown plan key {key!r}", "known ones are " + ", ".join(sorted(known))
                )
            if key == "brewer":
                values[key] = str(value)
            elif key == "roast":
                values[key] = _roast(value)
            elif isinstance(value, bool) or not isinstance(value, int | float):
                raise UsageError(f"the plan's {key} is {value!r}", "make it a number")
            elif key == "pours":
                if not float(value).is_integer():
                    raise UsageError(f"{value:g} pours cannot be poured", "make it a whole number")
                values[key] = int(value)
            else:
                values[key] = float(value)
        return cls(**values)


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
    for name in POSSIBLE:
        value = getattr(request, name)
        if value is not None:
            refuse_outside(name, value)
    kind = brewer_kind(request.brewer)
    dose_g, water_g, mass_reason = _masses(request, kind)
    flow_gps = kind.flow_gps if request.flow_gps is None else request.flow_gps
    pours = kind.pours if request.pours is None else request.pours

    bloom_g = float(round(dose_g * request.bloom_multiple))
    if bloom_g >= water_g:
        raise UsageError(
            f"a bloom of {bloom_g:g} g is not less than the {water_g:g} g of water in all",
            "use a smaller bloom or more water",
        )
    pour_g = (water_g - bloom_g) / pours
    if pour_g < _LEAST_POUR_G:
        raise UsageError(
            f"{pours} pours of {pour_g:.1f} g are too small to pour", "use fewer pours"
        )
    bloom_s, bloom_reasons = _bloom(request, dose_g, bloom_g / flow_gps)
    marks_g = [*(float(round(bloom_g + pour_g * n)) for n in range(1, pours)), water_g]
    later, finish_s = _later_stages(kind, bloom_g, bloom_s, marks_g, flow_gps)
    plan = Plan(
        dose_g=dose_g,
        ratio=water_g / dose_g,
        water_g=water_g,
        bloom_s=bloom_s,
        finish_s=finish_s,
        stages=(Stage("bloom", 0.0, bloom_g, flow_gps), *later),
        temperature_c=request.temperature_c,
        brewer=kind.name,
    )
    reasons = (
        mass_reason,
        f"bloom water: {request.bloom_multiple:g} times the dose",
        *bloom_reasons,
        f"rests and finish: the wet bed of a {kind.means} passes about {kind.drain_gps:g} g/s "
        "(common practice); the next pour begins when half of the standing water is through",
        _strength_reason(plan.ratio),
    )
    return WorkedPlan(plan, plan_warnings(plan), reasons)


def _strength_reason(ratio: float) -> str:
    low, high = (
        strength_drip_classic(extraction_pct, ratio, RETAINED_G_PER_G)
        for extraction_pct in CLASSIC_EXTRACTION_PCT
    )
    least, most = CLASSIC_EXTRACTION_PCT
    return (
        f"strength to expect: {low:.2f}-{high:.2f} % at {least:g}-{most:g} % extraction "
        f"(classic drip form, {RETAINED_G_PER_G:g} g kept by each gram)"
    )


def _later_stages(
    kind: BrewerKind,
    bloom_g: Grams,
    bloom_s: Seconds,
    marks_g: list[Grams],
    flow_gps: GramsPerSecond,
) -> tuple[list[Stage], Seconds]:
    """The pours after the bloom, and when the bed should have drained.

    The bed is taken to pass water at one mean rate, and to have drunk the bloom.
    """
    stages = []
    standing_g, from_g, start_s = 0.0, bloom_g, bloom_s
    end_s = start_s
    for number, to_g in enumerate(marks_g, 1):
        if number > 1:
            rest_s = _REST_UNTIL_SHARE * standing_g / kind.drain_gps
            start_s = _on_beat(end_s + max(_LEAST_REST_S, rest_s))
            standing_g = max(0.0, standing_g - kind.drain_gps * (start_s - end_s))
        stages.append(Stage(f"pour {number}", start_s, to_g, flow_gps))
        poured_s = (to_g - from_g) / flow_gps
        standing_g = max(0.0, standing_g + (to_g - from_g) - kind.drain_gps * poured_s)
        end_s = start_s + poured_s
        from_g = to_g
    return stages, _on_beat(end_s + max(_LEAST_REST_S, standing_g / kind.drain_gps))


def _masses(request: PlanRequest, kind: BrewerKind) -> tuple[Grams, Grams, str]:
    """Dose, water and why."""
    told = {"ratio": request.ratio, "water": request.water_g, "cup": request.cup_g}
    given = [name for name, value in told.items() if value is not None]
    if "water" in given and "cup" in given:
        raise UsageError("water and cup both say how much", "give one of the two")
    if request.dose_g is not None and len(given) > 1:
        raise UsageError(
            f"dose, {given[0]} and {given[1]} are one too many", "leave one of them out"
        )
    ratio = DEFAULT_RATIO if request.ratio is None else request.ratio
    kept = RETAINED_G_PER_G
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
    return dose_g, water_g, why


def _bloom(
    request: PlanRequest, dose_g: Grams, poured_s: Seconds
) -> tuple[Seconds, tuple[str, ...]]:
    """From first water to the next pour, and why."""
    if request.bloom_wait_s is not None:
        return poured_s + request.bloom_wait_s, (
            f"bloom wait: {request.bloom_wait_s:g} s, as asked",
        )
    rule = bloom_wait(dose_g, request.roast, request.days_off_roast)
    # The beat nearest to the rule that keeps the wait within the rule's own bounds.
    bloom_s = _on_beat(poured_s + rule.wait_s)
    if bloom_s - poured_s > MOST_WAIT_S:
        bloom_s -= _BEAT_S
    elif bloom_s - poured_s < LEAST_WAIT_S:
        bloom_s += _BEAT_S
    return bloom_s, tuple(f"bloom wait: {reason}" for reason in rule.reasons)


def _roast(value: object) -> Roast:
    try:
        return Roast(value)
    except ValueError:
        raise UsageError(
            f"unknown roast {value!r}", "use " + ", ".join(roast.value for roast in Roast)
        ) from None


def _on_beat(seconds: Seconds) -> Seconds:
    return _BEAT_S * round(seconds / _BEAT_S)


def _tenth(grams: Grams) -> Grams:
    return round(grams, 1)
