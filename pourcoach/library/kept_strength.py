"""Strengths of kept brews: taken from a tape, stored with it, and found for earlier ones."""

from dataclasses import dataclass
from pathlib import Path

from pourcoach import wall_clock
from pourcoach.brewing.strength.extraction import extraction_from_beverage
from pourcoach.brewing.strength.measured_brew import MeasuredBrew
from pourcoach.domain.afterwards import StrengthReading
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.units import Grams, Percent
from pourcoach.library.brews import brew_on, find_brews, open_brew
from pourcoach.library.entering import number_of_tape
from pourcoach.library.library import Library, library_path
from pourcoach.library.records import Search
from pourcoach.library.saying import say
from pourcoach.recordings.fold import judged_tape
from pourcoach.recordings.tape import header_of


@dataclass(frozen=True, slots=True)
class TapedMasses:
    """What a tape shows of a brew's masses; None for what it does not."""

    dose_g: Grams | None
    """By the plan."""
    water_g: Grams | None
    """As poured, with the brewer on the scale."""
    beverage_g: Grams | None
    """As dripped, with the server alone on the scale, and what is added to it."""
    added_g: Grams
    """Ice and water after the brew, by the plan."""


def masses_of(tape_file: Path) -> TapedMasses:
    """The masses of the brew on a tape, in g. Raises WorkError where it cannot be read."""
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


def keep_strength(tape_file: Path, brew: MeasuredBrew) -> str | None:
    """Store the reading with the brew, which is entered in the library if it is not there yet.

    A sentence where it could not be put on the tape yet, as ``say``. Raises WorkError where the
    tape cannot be read or the library refuses.
    """
    beverage = brew.beverage_g
    reading = StrengthReading(
        strength=brew.strength_pct.value / 100.0,
        strength_error=brew.strength_pct.error / 100.0,
        beverage_g=None if beverage is None else beverage.value,
        taken_at=wall_clock.timestamp(),
    )
    with Library(library_path()) as library:
        return say(library, number_of_tape(library, tape_file), [reading])


def earlier_points(tape_file: Path) -> list[tuple[Percent, Percent]]:
    """Extraction and strength of the same brewer's other brews, where both can be determined."""
    if not library_path().exists():
        return []
    points = []
    with Library(library_path()) as library:
        kept = brew_on(library, tape_file)
        by = header_of(tape_file).by if kept is None else kept.by
        for brew in find_brews(library, Search(by=by)):
            if brew.strength_percent is None or (kept is not None and brew.id == kept.id):
                continue
            opened = open_brew(library, brew.number)
            beverage_g = opened.strengths[-1].beverage_g
            if opened.plan is not None and beverage_g is not None:
                extraction_pct = extraction_from_beverage(
                    brew.strength_percent, beverage_g, opened.plan.dose_g
                )
                points.append((extraction_pct, brew.strength_percent))
    return points
