"""A calibration as text, and as figures: what it is, how sure, and whether it was kept."""

from typing import Any

from pourcoach.weighing.calibration.calibration import USUAL_LOAD_G, CalibrationFit
from pourcoach.weighing.figures.creep import Creep


def calibration_lines(
    scale: str, fit: CalibrationFit, drift: Creep | None, *, kept: bool
) -> list[str]:
    """The page. ``scale`` is its address; ``kept`` says whether the calibration was kept."""
    calibration = fit.calibration
    lines = [
        "",
        *_errors(fit),
        "",
        "  load g    off the line g",
    ]
    lines += [
        f"{load.true_g:8.6g}    {residual_g:+.3f}"
        for load, residual_g in zip(fit.loads, fit.residuals_g, strict=True)
    ]
    lines += [f"\nDoubtful: {doubt}." for doubt in fit.doubts]
    lines += [f"\nNote: {warning}." for warning in fit.warnings]
    if drift is not None:
        lines.append(
            f"\nLeft alone for {drift.span_s / 60:.0f} min it moved {drift.change_g:+.3f} g. "
            "Temperature and creep do that; tare before each brew."
        )
    lines += [
        "",
        "For the reference firmware's settings.py:",
        f"  COUNTS_PER_G = ({calibration.counts_per_g:.6g},)",
        f"  EMPTY_COUNTS = ({calibration.empty_counts:.0f},)",
        "",
        f"Kept for {scale}; 'pourcoach calibrate --undo' goes back."
        if kept
        else "Not kept, since it is doubtful; --force keeps it all the same."
        if fit.doubts
        else "Not kept.",
    ]
    return lines


def _errors(fit: CalibrationFit) -> list[str]:
    calibration = fit.calibration
    empty = f"{calibration.empty_counts:.0f} when empty."
    if fit.span_error is None or fit.error_at_usual_g is None:
        return [
            f"{calibration.counts_per_g:.6g} counts a gram, {empty}",
            "How well it is known cannot be said: with one weight there is nothing to compare.",
        ]
    return [
        f"{calibration.counts_per_g:.6g} counts a gram (±{fit.span_error:.2%}), {empty}",
        f"A weight of {USUAL_LOAD_G:g} g is known to ±{fit.error_at_usual_g:.3f} g by it, one "
        "standard error, the weights taken as exact.",
    ]


def calibration_figures(fit: CalibrationFit, drift: Creep | None, *, kept: bool) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "counts_per_g": fit.calibration.counts_per_g,
        "empty_counts": fit.calibration.empty_counts,
        "span_error": fit.span_error,
        "error_at_usual_g": fit.error_at_usual_g,
        "loads": [
            load.as_dict() | {"residual_g": residual_g}
            for load, residual_g in zip(fit.loads, fit.residuals_g, strict=True)
        ],
        "warnings": list(fit.warnings),
        "doubts": list(fit.doubts),
        "drift_g": None if drift is None else drift.change_g,
        "drift_s": None if drift is None else drift.span_s,
        "kept": kept,
    }
