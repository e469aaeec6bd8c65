"""How the water is poured: in how many pours, and when each begins."""

import math

from pourcoach.brewing.plan.bloom import BEAT_S, on_beat
from pourcoach.brewing.plan.bounds import POSSIBLE
from pourcoach.brewing.plan.brewer import BrewerKind
from pourcoach.brewing.plan.water_level import WaterLevel, overflow_of
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Stage
from pourcoach.domain.units import Grams, Seconds

# All common practice.
# Half of the standing water gone: the bed stays covered and the slurry keeps its heat.
REST_UNTIL_SHARE = 0.5
# Shorter rests are no rests: neither the hand nor the scale separates the two pours.
LEAST_REST_S = 10.0
# A smaller pour is over before a hand has found its flow.
_LEAST_POUR_G = 5.0


def pour_stages(
    kind: BrewerKind,
    dose_g: Grams,
    bloom: Stage,
    bloom_s: Seconds,
    water_g: Grams,
    asked: int | None,
) -> tuple[tuple[Stage, ...], Seconds, list[str]]:
    """All stages, when the bed should have drained, and why there are so many.

    As many pours as asked for; else the brewer's usual number, or more where they would fill it
    above its rim.
    """
    usual = kind.pours if asked is None else asked
    most = int(POSSIBLE["pours"][1]) if asked is None else usual
    for pours in range(usual, most + 1):
        pour_g = (water_g - bloom.to_g) / pours
        if pour_g < _LEAST_POUR_G:
            break
        marks_g = [*(float(round(bloom.to_g + pour_g * n)) for n in range(1, pours)), water_g]
        stages, finish_s = _timed(kind, dose_g, bloom, bloom_s, marks_g)
        over = overflow_of(kind, dose_g, stages)
        if over is None or pours == most:
            why = f"pours: {pours} rather than {usual}, so that hot water stays below the rim"
            return stages, finish_s, [why] if pours > usual else []
    raise UsageError(f"{pours} pours of {pour_g:.1f} g are too small to pour", "use fewer pours")


def _timed(
    kind: BrewerKind, dose_g: Grams, bloom: Stage, bloom_s: Seconds, marks_g: list[Grams]
) -> tuple[tuple[Stage, ...], Seconds]:
    """The bloom and the pours after it, and when the bed should have drained."""
    level = WaterLevel(kind, dose_g)
    level.pour(bloom.to_g, bloom.flow_gps)
    stages = [bloom]
    end_s = bloom.to_g / bloom.flow_gps
    for number, to_g in enumerate(marks_g, 1):
        rest_s = max(LEAST_REST_S, REST_UNTIL_SHARE * level.drained_s())
        start_s = bloom_s if number == 1 else _on_beat(end_s + rest_s, end_s + LEAST_REST_S)
        level.wait(start_s - end_s)
        stages.append(Stage(f"pour {number}", start_s, to_g, bloom.flow_gps))
        more_g = to_g - stages[-2].to_g
        level.pour(more_g, bloom.flow_gps)
        end_s = start_s + more_g / bloom.flow_gps
    drained_s = end_s + max(LEAST_REST_S, level.drained_s())
    return tuple(stages), _on_beat(drained_s, end_s + LEAST_REST_S)


def _on_beat(seconds: Seconds, least_s: Seconds) -> Seconds:
    """The nearest beat that is not before ``least_s``."""
    nearest_s = on_beat(seconds)
    return nearest_s if nearest_s >= least_s else BEAT_S * math.ceil(least_s / BEAT_S)
