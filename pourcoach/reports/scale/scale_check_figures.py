"""All figures of a check of a scale as one JSON object: what ``check --json`` prints."""

from dataclasses import asdict
from typing import Any

from pourcoach.weighing.check.check import ScaleCheck
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.check.fitness import Use, fitness_headline
from pourcoach.weighing.check.judging_accuracy import JudgingAccuracy
from pourcoach.weighing.figures.finding import Sentence


def scale_check_figures(
    record: CheckRecord,
    check: ScaleCheck,
    accuracy: JudgingAccuracy | None,
    sentences: tuple[Sentence, ...],
    fit: dict[Use, bool | None],
) -> dict[str, Any]:
    """Keys as in ``ScaleCheck``; null for what was not done."""
    return {
        "scale": record.scale,
        "made_at": record.made_at,
        "calibration": record.calibration or None,
        "headline": fitness_headline(fit),
        "good_enough": {use.name.lower(): good for use, good in fit.items()},
        "yardstick": {
            "class": check.yardstick.accuracy.value,
            "interval_g": check.yardstick.interval_g,
            "capacity_g": check.yardstick.capacity_g,
            "in_service": check.yardstick.in_service,
        },
        "noise_g": check.rest.noise if check.rest else None,
        "step_g": check.rest.step if check.rest else None,
        "pace": _part(check.pace),
        "linearity": _part(check.linearity),
        "repeatability": _part(check.repeatability),
        "eccentricity": _part(check.eccentricity),
        "discrimination": _part(check.discrimination),
        "creep": _part(check.creep),
        "zero_return": _part(check.zero_return),
        "steps": [_part(step) for step in check.steps.steps] if check.steps else [],
        "delay": _part(check.delay),
        "worst_error_g": check.worst_error_g,
        "judging_accuracy": _part(accuracy),
        "faults": list(check.faults),
        "verdict": [{"bearing": one.bearing.value, "text": one.text} for one in sentences],
        "legal_verification": False,
    }


def _part(part: Any) -> dict[str, Any] | None:
    """A part's own figures, and whether it keeps its limit where it has one; None if not done."""
    if part is None:
        return None
    figures = asdict(part)
    return figures | {"within": part.within} if hasattr(part, "within") else figures
