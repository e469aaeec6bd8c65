"""Whether a calibration is to be trusted, and what is likely wrong where it is not.

A calibration that was kept is in every weight from then on: better none than a poor one.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from pourcoach.domain.units import Grams
from pourcoach.statistics.line_fit import LineFit, fit_line
from pourcoach.weighing.loads.known_load import KnownLoad

# What a load may lie off the line: 1.5 g at 500 g, less than a stage may miss its mark by, and a
# cell of any price is ten times as straight. Common practice; no published source.
OFF_LINE_G: Grams = 0.3
OFF_LINE_SHARE = 0.003
# By as much the span may be uncertain: 1.6 g in 320 g of water.
MOST_SPAN_ERROR = 0.005
# What a scale sends that already knows its weight, by its numbers to a gram. A converter gives
# hundreds or thousands to a gram.
_SENT_ALREADY = (
    (1.0, "grams"),
    (10.0, "tenths of a gram"),
    (100.0, "hundredths of a gram"),
    (0.001, "kilograms"),
    (1 / 28.349523125, "ounces"),
    (1 / 453.59237, "pounds"),
)
# Its own error, and that of the weight.
_ALREADY_SHARE = 0.02
# Its zero, with a vessel on it at most.
_ALREADY_EMPTY_G: Grams = 2000.0


def calibration_doubts(
    loads: Sequence[KnownLoad], line: LineFit, span_error: float | None
) -> tuple[str, ...]:
    """Reasons not to keep it, each with what is likely wrong; none for a good one.

    ``line`` is that of counts over grams; ``span_error`` its slope's relative standard error.
    """
    doubts = []
    sent = _sent_already(line)
    if sent is not None:
        doubts.append(
            f"what the scale sends looks like {sent} already, not raw counts: calibrate it by its "
            "own instructions, and leave this out"
        )
    if len({load.true_g for load in loads}) < 3:
        doubts.append(
            "one weight always fits, even a wrong one: weigh another, so that it can be seen "
            "whether they agree"
        )
    elif not _fits(loads):
        doubts.append(_likely_wrong(loads))
    elif span_error is not None and span_error > MOST_SPAN_ERROR:
        doubts.append(
            f"counts to a gram are known to {span_error:.1%} only: use heavier weights, and see "
            "that nothing shakes or touches the platform"
        )
    return tuple(doubts)


def _sent_already(line: LineFit) -> str | None:
    per_g = abs(line.slope)
    for usual, unit in _SENT_ALREADY:
        if abs(per_g / usual - 1.0) <= _ALREADY_SHARE:
            return unit if abs(line.intercept) <= usual * _ALREADY_EMPTY_G else None
    return None


def _fits(loads: Sequence[KnownLoad]) -> bool:
    line = fit_line([load.true_g for load in loads], [load.shown for load in loads])
    if line.slope == 0.0:
        return False
    heaviest_g = max(load.true_g for load in loads)
    allowed_g = max(OFF_LINE_G, OFF_LINE_SHARE * heaviest_g)
    return max(abs(residual / line.slope) for residual in line.residuals) <= allowed_g


def _likely_wrong(loads: Sequence[KnownLoad]) -> str:
    """What would make the loads fit: two taken for each other, or one that is another weight."""
    for one, two in combinations(range(len(loads)), 2):
        swapped = list(loads)
        swapped[one] = replace(loads[one], true_g=loads[two].true_g)
        swapped[two] = replace(loads[two], true_g=loads[one].true_g)
        if loads[one].true_g != loads[two].true_g and _fits(swapped):
            return (
                f"{loads[one].true_g:g} g and {loads[two].true_g:g} g would fit the other way "
                "round: they were put on in another order than asked"
            )
    weights = [load for load in loads if load.true_g]
    odd = [load for load in weights if len(loads) > 3 and _fits([o for o in loads if o != load])]
    suspects = odd if len(odd) == 1 else weights
    says = " or ".join(_says(load, [o for o in loads if o != load]) for load in suspects)
    return (
        f"the weights do not agree; by the others, {says}: see which weight is not what was typed, "
        "that each stood alone, and that nothing touched the platform"
    )


def _says(load: KnownLoad, others: Sequence[KnownLoad]) -> str:
    line = fit_line([o.true_g for o in others], [o.shown for o in others])
    if line.slope == 0.0:
        return f"{load.true_g:g} g cannot be worked out"
    return f"{load.true_g:g} g weighs {(load.shown - line.intercept) / line.slope:.4g} g"
