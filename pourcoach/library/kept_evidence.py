"""A recorded brew's evidence for dialling in: its tape, and what the library holds beside it."""

from dataclasses import replace
from pathlib import Path

from pourcoach.brewing.evidence import Evidence
from pourcoach.brewing.measured import Measured
from pourcoach.brewing.measured_brew import (
    USUAL_DOSE_ERROR_G,
    USUAL_MASS_ERROR_G,
    MeasuredBrew,
    work_out_extraction,
)
from pourcoach.brewing.move import Move
from pourcoach.brewing.poured_evidence import evidence_of
from pourcoach.brewing.taste import tastes_in
from pourcoach.brewing.water_targets import SCAA
from pourcoach.brewing.water_verdict import Overall, judge_water
from pourcoach.domain.errors import WorkError
from pourcoach.domain.plan import Plan
from pourcoach.library.library import Library, library_path
from pourcoach.library.records import Brew, RemarkKind, StrengthReading
from pourcoach.library.water_shelf import saved_waters
from pourcoach.recordings.fold import judged_tape


def evidence_of_recording(tape_file: Path) -> Evidence:
    """Raises WorkError where the tape cannot be read or holds no brew."""
    tape = judged_tape(tape_file)
    last = tape.last
    if last is None or last.pour.brew_start_s is None:
        raise WorkError(f"nothing was poured on {tape_file}", "name a recording of a brew")
    evidence = evidence_of(last, tape.header.plan, tape.header.setup.arrangement)
    kept = _kept(tape_file)
    if kept is None:
        return evidence
    remarks = {remark.kind: remark.text for remark in kept.remarks}
    if kept.strengths:
        evidence = _with_strength(evidence, kept.strengths[-1], tape.header.plan)
    return replace(
        evidence,
        tastes=tastes_in(remarks.get(RemarkKind.TASTE, "")),
        changed=_moves_in(remarks.get(RemarkKind.CHANGE, "")),
        water=water_standing(kept.water),
    )


def water_standing(name: str | None) -> Overall | None:
    """How a saved water stands; None where none is named, or it is not saved any more."""
    water = saved_waters().get(name or "")
    return None if water is None else judge_water(water, SCAA).overall


def _kept(tape_file: Path) -> Brew | None:
    if not library_path().exists():
        return None
    with Library(library_path()) as library:
        return library.brew(tape_file)


def _with_strength(evidence: Evidence, reading: StrengthReading, plan: Plan | None) -> Evidence:
    strength = Measured(100.0 * reading.strength, 100.0 * reading.strength_error)
    evidence = replace(evidence, strength_pct=strength)
    if plan is None or reading.beverage_g is None:
        return evidence
    found = work_out_extraction(
        MeasuredBrew(
            dose_g=Measured(plan.dose_g, USUAL_DOSE_ERROR_G),
            strength_pct=strength,
            beverage_g=Measured(reading.beverage_g, USUAL_MASS_ERROR_G),
        )
    )
    return replace(evidence, extraction_pct=found.extraction_pct)


def _moves_in(remark: str) -> tuple[Move, ...]:
    """A remark that is the name of a move or of several, as ``finer, hotter``; else empty."""
    names = {move.value: move for move in Move}
    words = remark.lower().replace(",", " ").split()
    return tuple(names[word] for word in words) if all(word in names for word in words) else ()
