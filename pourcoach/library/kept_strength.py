"""Strengths of kept brews: taken from a tape, stored with it, and found for earlier ones."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pourcoach.brewing.strength.extraction import extraction_from_beverage
from pourcoach.brewing.strength.measured_brew import MeasuredBrew
from pourcoach.domain.errors import WorkError
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.units import Grams, Percent
from pourcoach.library.library import Library, library_path
from pourcoach.library.records import StrengthReading
from pourcoach.recordings.fold import judged_tape
from pourcoach.recordings.tape import header_of


@dataclass(frozen=True, slots=True)
class TapedMasses:
    """What a tape tells of a brew's masses; None for what it does not."""

    dose_g: Grams | None
    """By the plan."""
    water_g: Grams | None
    """As poured, with the brewer on the scale."""
    beverage_g: Grams | None
    """As dripped, with the server alone on the scale, and what is added to it."""
    added_g: Grams
    """Ice and water after the brew, by the plan."""


def masses_of(tape_file: Path) -> TapedMasses:
    """Raises WorkError where the tape cannot be read."""
    tape = judged_tape(tape_file)
    last = tape.last
    weighed_g = None if last is None else round(last.pour.water_g, 1)
    added_g = 0.0 if tape.header.plan is None else tape.header.plan.added_g
    dripped = tape.header.setup.arrangement is Arrangement.SERVER_ON_SCALE
    return TapedMasses(
        dose_g=None if tape.header.plan is None else tape.header.plan.dose_g,
        water_g=None if dripped else weighed_g,
        beverage_g=weighed_g + added_g if dripped and weighed_g is not None else None,
        added_g=added_g,
    )


def keep_strength(tape_file: Path, brew: MeasuredBrew) -> None:
    """Store the reading with the brew. Raises WorkError where the library does not have it."""
    beverage = brew.beverage_g
    reading = StrengthReading(
        strength=brew.strength_pct.value / 100.0,
        strength_error=brew.strength_pct.error / 100.0,
        beverage_g=None if beverage is None else beverage.value,
        taken_at=datetime.now().astimezone().isoformat(timespec="seconds"),
    )
    with Library(library_path()) as library:
        library.add_strength(tape_file, reading)


def earlier_points(tape_file: Path) -> list[tuple[Percent, Percent]]:
    """Extraction and strength of the same brewer's other brews, where both can be told."""
    if not library_path().exists():
        return []
    by = header_of(tape_file).by
    with Library(library_path()) as library:
        brews = library.brews(by)
    points = []
    for brew in brews:
        if brew.tape == tape_file.resolve() or not brew.strengths:
            continue
        reading = brew.strengths[-1]
        try:
            plan = header_of(brew.tape).plan
        except WorkError:
            continue  # The tape was moved away: its dose is gone with it.
        if plan is not None and reading.beverage_g is not None:
            strength_pct = 100.0 * reading.strength
            points.append(
                (
                    extraction_from_beverage(strength_pct, reading.beverage_g, plan.dose_g),
                    strength_pct,
                )
            )
    return points
