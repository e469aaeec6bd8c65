"""What a scale is good enough for: the answer that a check is made for."""

from collections.abc import Mapping
from enum import Enum

from pourcoach.domain.limits import FlagLimits
from pourcoach.weighing.check.abilities import BLUNT_EVENNESS
from pourcoach.weighing.check.check import ScaleCheck
from pourcoach.weighing.check.judging_accuracy import JudgingAccuracy
from pourcoach.weighing.figures.pace import SLOW_HZ


class Use(Enum):
    """What a scale is used for in a brew."""

    TOTALS = "weighing what is poured"
    EVENNESS = "judging how even a pour is"
    SPEED = "showing stalls and surges as they happen"


def fitness(
    check: ScaleCheck, accuracy: JudgingAccuracy | None, limits: FlagLimits | None = None
) -> dict[Use, bool | None]:
    """Whether it is good enough for each use; None where that was not tested.

    ``accuracy`` is None where noise or rate are not known.
    """
    return {
        Use.TOTALS: _totals(check, limits or FlagLimits()),
        Use.EVENNESS: None if accuracy is None else accuracy.evenness_error <= BLUNT_EVENNESS,
        Use.SPEED: _speed(check),
    }


def good_enough(fit: Mapping[Use, bool | None]) -> bool:
    """Whether nothing that was tested failed, and something was tested."""
    tested = [good for good in fit.values() if good is not None]
    return bool(tested) and all(tested)


def fitness_headline(fit: Mapping[Use, bool | None]) -> str:
    """One line: for what it is, for what it is not, and what was not tested."""
    parts = []
    for lead, answer in (("GOOD ENOUGH for", True), ("NOT GOOD ENOUGH for", False)):
        uses = [use.value for use, good in fit.items() if good is answer]
        if uses:
            parts.append(f"{lead} {_listed(uses)}")
    untested = [use.value for use, good in fit.items() if good is None]
    if untested:
        parts.append(f"not tested for {_listed(untested)}")
    line = "; ".join(parts)
    return line[0].upper() + line[1:] + "."


def _totals(check: ScaleCheck, limits: FlagLimits) -> bool | None:
    errors_g = []
    if check.worst_error_g is not None:
        errors_g.append(check.worst_error_g)
    if check.repeatability is not None:
        errors_g.append(check.repeatability.spread_g)
    if check.eccentricity is not None:
        errors_g.append(check.eccentricity.spread_g)
    # Half of what is flagged: an error as large as a fault would be taken for one.
    return max(errors_g) <= limits.landing_g / 2 if errors_g else None


def _speed(check: ScaleCheck) -> bool | None:
    if check.pace is None:
        return None
    late = check.delay is not None and check.delay.late
    return check.pace.rate_hz >= SLOW_HZ and not late


def _listed(uses: list[str]) -> str:
    return uses[0] if len(uses) == 1 else ", ".join(uses[:-1]) + " and " + uses[-1]
