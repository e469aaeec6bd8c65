"""A recorded brew's evidence for dialling in: its tape, and what the library holds beside it."""

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from pourcoach.brewing.advice.dialling_in import MOST_BREWS
from pourcoach.brewing.advice.evidence import Evidence
from pourcoach.brewing.advice.move import Change, changes_in
from pourcoach.brewing.advice.poured_evidence import evidence_of
from pourcoach.brewing.advice.taste import Taste, tastes_in
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import (
    USUAL_DOSE_ERROR_G,
    USUAL_MASS_ERROR_G,
    MeasuredBrew,
    work_out_extraction,
)
from pourcoach.brewing.water.targets import SCAA
from pourcoach.brewing.water.water_verdict import Overall, judge_water
from pourcoach.domain.afterwards import RemarkKind
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Grams
from pourcoach.library.brews import brew_on, find_brews, open_brew
from pourcoach.library.library import Library, library_path
from pourcoach.library.records import Brew, OpenedBrew, Search
from pourcoach.library.water_shelf import saved_waters
from pourcoach.recordings.fold import judged_tape

WORSE = "worse"
"""Said with the taste or the changes: the brew was worse than the one before."""
# A coffee is dialled in within days; what was changed longer ago was changed on another one
# (common practice).
MOST_APART = timedelta(days=7)


def evidence_of_recording(tape_file: Path) -> Evidence:
    """The evidence of a tape's brew. Raises WorkError where it cannot be read or holds none."""
    tape = judged_tape(tape_file)
    last = tape.last
    if last is None or last.pour.brew_start_s is None:
        raise WorkError(f"nothing was poured on {tape_file}", "name a recording of a brew")
    evidence = evidence_of(last, tape.header.plan, tape.header.setup.arrangement)
    kept = _kept(tape_file)
    if kept is None:
        return evidence
    if kept.strengths:
        weighed = tape.header.setup.arrangement is Arrangement.BREWER_ON_SCALE
        water_g = last.pour.water_g if weighed else None
        evidence = _with_strength(evidence, kept, tape.header.plan, water_g)
    return _with_remarks(evidence, kept)


def with_earlier_brews(evidence: Evidence, tape_file: Path) -> Evidence:
    """The same brew with those before it, as far back as each says what was changed for it.

    Of the same brewer, each within a week of the next, and no more than dialling in takes. A brew
    whose tape was moved away is known by what was kept of it.
    """
    kept = _kept(tape_file)
    if kept is None:
        return evidence
    newer = kept.brew
    with Library(library_path()) as library:
        found = find_brews(library, Search(by=newer.by))
        # By the clock and not by the text: two brews may be dated in two time zones.
        older = [brew for brew in found if _when(brew) < _when(newer)]
        older.sort(key=_when, reverse=True)
        brews = [open_brew(library, brew.number) for brew in older[: MOST_BREWS - 1]]
    chain = [evidence]
    for opened in brews:
        brew = opened.brew
        if chain[-1].changed is None or _when(newer) - _when(brew) > MOST_APART:
            break
        try:
            chain.append(evidence_of_recording(brew.tape))
        except WorkError:
            chain.append(_with_remarks(Evidence(), opened))
        newer = brew
    before: Evidence | None = None
    for one in reversed(chain):
        before = replace(one, before=before)
    return evidence if before is None else before


def _when(brew: Brew) -> datetime:
    """The very first moment where it is not dated: such a brew cannot be put in order."""
    try:
        at = datetime.fromisoformat(brew.recorded_at)
    except ValueError:
        return datetime.min.replace(tzinfo=UTC)
    return at if at.tzinfo is not None else at.replace(tzinfo=UTC)


def remark_words(remark: str) -> list[str]:
    """What a remark is read by: its words, small."""
    return [word for word in re.split(r"[\s,;]+", remark.lower()) if word]


def _with_remarks(evidence: Evidence, kept: OpenedBrew) -> Evidence:
    """Its tastes and changes are those said last; what was once found worse stays so."""
    tastes, changed, worse = frozenset[Taste](), None, False
    for remark in kept.remarks:
        words = remark_words(remark.text)
        said = [word for word in words if word != WORSE]
        if remark.kind is RemarkKind.TASTE and said:
            tastes = tastes_in(" ".join(said))
        elif remark.kind is RemarkKind.CHANGE and said:
            changed = _changes_in(said)
        if remark.kind in (RemarkKind.TASTE, RemarkKind.CHANGE):
            worse |= len(said) < len(words)
    return replace(
        evidence, tastes=tastes, changed=changed, worse=worse, water=water_standing(kept.brew.water)
    )


def water_standing(name: str | None) -> Overall | None:
    """How a saved water stands; None where none is named, or it is not saved any more."""
    water = saved_waters().get(name or "")
    return None if water is None else judge_water(water, SCAA).overall


def _kept(tape_file: Path) -> OpenedBrew | None:
    if not library_path().exists():
        return None
    with Library(library_path()) as library:
        brew = brew_on(library, tape_file)
        return None if brew is None else open_brew(library, brew.number)


def _with_strength(
    evidence: Evidence, kept: OpenedBrew, plan: Plan | None, water_g: Grams | None
) -> Evidence:
    reading = kept.strengths[-1]
    strength = Measured(100.0 * reading.strength, 100.0 * reading.strength_error)
    evidence = replace(evidence, strength_pct=strength)
    if plan is None or reading.beverage_g is None:
        return evidence
    try:
        found = work_out_extraction(
            MeasuredBrew(
                dose_g=Measured(plan.dose_g, USUAL_DOSE_ERROR_G),
                strength_pct=strength,
                beverage_g=Measured(reading.beverage_g, USUAL_MASS_ERROR_G),
                water_g=None if water_g is None else Measured(water_g, USUAL_MASS_ERROR_G),
                added_g=Measured(plan.added_g, USUAL_MASS_ERROR_G) if plan.added_g else None,
            )
        )
    except UsageError as error:
        raise WorkError(
            f"the strength kept with {kept.brew.tape}: {error.what}", error.remedy
        ) from None
    return replace(evidence, extraction_pct=found.extraction_pct)


def _changes_in(words: list[str]) -> tuple[Change, ...] | None:
    """What names of changes say, as ``finer half-hotter`` or ``nothing``; None for other words."""
    try:
        return changes_in(words)
    except UsageError:
        return None
