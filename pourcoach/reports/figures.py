"""All figures of a recording as one JSON object: what ``analyse --json`` prints."""

from typing import Any

from pourcoach import wording
from pourcoach.coaching.marking.marking import Marks
from pourcoach.domain.advice import Flag
from pourcoach.domain.frame import Frame
from pourcoach.domain.key_press import KeyPress
from pourcoach.domain.pour import StagePour
from pourcoach.recordings.fold import JudgedTape
from pourcoach.reports.brew.verdict import judged_risk, verdict

# Decimal places: finer than any scale or hand can resolve, coarse enough to read.
_SECONDS, _GRAMS, _GRAMS_PER_S, _SHARE, _HERTZ = 3, 2, 3, 3, 3
# A learnt noise or step is finer than a weight.
_FINE_GRAMS = 3


def figures(recording: str, tape: JudgedTape, marks: Marks | None) -> dict[str, Any]:
    """Times are seconds on the tape.

    What could not be found is null: a tape in which nothing was poured has no pours.
    """
    last = tape.last
    pour = None if last is None else last.pour
    return {
        "recording": recording,
        "brew_start_s": _round(pour.brew_start_s if pour else None, _SECONDS),
        "end_s": _round(pour.end_s if pour else None, _SECONDS),
        "ending": pour.ending.value if pour and pour.ending else None,
        "water_g": _round(pour.water_g if pour else None, _GRAMS),
        "poured_g": _round(pour.poured_g if pour else None, _GRAMS),
        "brew_s": _round(pour.brew_s if pour else None, _SECONDS),
        "pours": [_pour(stage) for stage in pour.stages] if pour else [],
        "flags": [_flag(flag) for flag in last.flags] if last else [],
        "moments": [_moment(moment) for moment in last.moments] if last else [],
        "risk": _risk(tape),
        "headline": _headline(tape, marks),
        "marks": None if marks is None else marks.as_dict(),
        "plan": None if tape.header.plan is None else tape.header.plan.as_dict(),
        "scale": dict(tape.header.scale) | _traits(last),
        "by": tape.header.by,
        "practice": None if tape.header.practice is None else dict(tape.header.practice),
        "recorded_at": tape.header.recorded_at or None,
        "problem": tape.problem,
    }


def _risk(tape: JudgedTape) -> str | None:
    risk = None if tape.last is None else judged_risk(tape.last, tape.header.setup.arrangement)
    return None if risk is None else risk.value


def _headline(tape: JudgedTape, marks: Marks | None) -> str | None:
    """What leads the review; None where nothing came."""
    if tape.last is None:
        return None
    header = tape.header
    return verdict(tape.last, header.plan, marks, header.setup.arrangement).headline


def _pour(stage: StagePour) -> dict[str, Any]:
    return {
        "stage": stage.stage,
        "start_s": _round(stage.start_s, _SECONDS),
        "end_s": _round(stage.end_s, _SECONDS),
        "mass_g": _round(stage.mass_g, _GRAMS),
        "poured_g": _round(stage.poured_g, _GRAMS),
        "end_g": _round(stage.end_g, _GRAMS),
        "mean_flow_gps": _round(stage.mean_flow_gps, _GRAMS_PER_S),
        "start_error_s": _round(stage.pours[0].start_error_s, _SECONDS),
        "end_error_s": _round(stage.pours[-1].end_error_s, _SECONDS),
        "mass_error_g": _round(stage.mass_error_g, _FINE_GRAMS),
        "mean_flow_error_gps": _round(stage.mean_flow_error_gps, _GRAMS_PER_S),
        "flow_cv": _round(stage.flow_cv, _SHARE),
        "flow_cv_error": _round(stage.flow_cv_error, _SHARE),
        "flow_cv_unjudged": None if stage.unjudged is None else stage.unjudged.value,
    }


def _flag(flag: Flag) -> dict[str, Any]:
    return {
        "kind": flag.kind.value,
        "start_s": _round(flag.start_s, _SECONDS),
        "end_s": _round(flag.end_s, _SECONDS),
        "stage": flag.stage,
        "confidence": round(flag.confidence, _SHARE),
        "evidence": {key: round(value, 3) for key, value in flag.evidence.items()},
        "says": wording.flag_sentence(flag),
    }


def _moment(moment: KeyPress) -> dict[str, Any]:
    figures: dict[str, Any] = {"kind": moment.key.value, "at_s": _round(moment.t_s, _SECONDS)}
    return figures | ({"text": moment.text} if moment.text else {})


def _traits(last: Frame | None) -> dict[str, float]:
    if last is None:
        return {}
    traits = last.estimate.traits
    figures = {
        "rate_hz": _round(traits.rate_hz, _HERTZ),
        "noise_g": _round(traits.noise_g, _FINE_GRAMS),
        "step_g": _round(traits.step_g, _FINE_GRAMS),
    }
    return {key: value for key, value in figures.items() if value is not None}


def _round(value: float | None, places: int) -> float | None:
    return None if value is None else round(value, places)
