"""All figures of a recording as one JSON object: what ``analyse --json`` prints."""

from typing import Any

from pourcoach import wording
from pourcoach.coaching.marking import Marks
from pourcoach.domain.advice import Flag
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import StagePour
from pourcoach.recordings.tape import Tape

# Finer than any scale or hand can tell, coarse enough to read: 1 ms, 10 mg, 1 mg/s.
_PLACES = {"_s": 3, "_g": 2, "_gps": 3}


def figures(recording: str, tape: Tape, last: Frame | None, marks: Marks | None) -> dict[str, Any]:
    """Times are seconds on the tape. ``last`` is the tape's refined last Frame.

    What could not be found is null: a tape in which nothing was poured has no pours.
    """
    pour = None if last is None else last.pour
    return {
        "recording": recording,
        "brew_start_s": _round("_s", pour.brew_start_s if pour else None),
        "end_s": _round("_s", pour.end_s if pour else None),
        "ending": pour.ending.value if pour and pour.ending else None,
        "water_g": _round("_g", pour.water_g if pour else None),
        "brew_s": _round("_s", pour.brew_s if pour else None),
        "pours": [_pour(stage) for stage in pour.stages] if pour else [],
        "flags": [_flag(flag) for flag in last.flags] if last else [],
        "risk": last.risk.level.value if last else None,
        "marks": None if marks is None else marks.as_dict(),
        "plan": None if tape.header.plan is None else tape.header.plan.as_dict(),
        "scale": dict(tape.header.scale) | _traits(last),
        "by": tape.header.by,
        "recorded_at": tape.header.recorded_at or None,
        "problem": tape.problem,
    }


def _pour(stage: StagePour) -> dict[str, Any]:
    return {
        "stage": stage.stage,
        "start_s": _round("_s", stage.start_s),
        "end_s": _round("_s", stage.end_s),
        "mass_g": _round("_g", stage.mass_g),
        "end_g": _round("_g", stage.end_g),
        "mean_flow_gps": _round("_gps", stage.mean_flow_gps),
        "flow_cv": _round("_gps", stage.flow_cv),
        "flow_cv_error": _round("_gps", stage.flow_cv_error),
    }


def _flag(flag: Flag) -> dict[str, Any]:
    return {
        "kind": flag.kind.value,
        "start_s": _round("_s", flag.start_s),
        "end_s": _round("_s", flag.end_s),
        "stage": flag.stage,
        "confidence": round(flag.confidence, 3),
        "evidence": {key: round(value, 3) for key, value in flag.evidence.items()},
        "says": wording.flag_sentence(flag),
    }


def _traits(last: Frame | None) -> dict[str, float]:
    if last is None:
        return {}
    traits = last.estimate.traits
    told = {
        "rate_hz": _round("_gps", traits.rate_hz),
        "noise_g": _round("_gps", traits.noise_g),
        "step_g": _round("_gps", traits.step_g),
    }
    return {key: value for key, value in told.items() if value is not None}


def _round(unit: str, value: float | None) -> float | None:
    return None if value is None else round(value, _PLACES[unit])
