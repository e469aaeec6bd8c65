"""What two to six brews have in common and where they differ, as values."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import hypot, sqrt

from pourcoach.domain.errors import UsageError
from pourcoach.domain.pour import Ending, StagePour
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.comparison.measured import ComparedFigure, Difference, Unit, difference

FEWEST, MOST = 2, 6
LETTERS = "ABCDEF"


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity of all brews; the first brew is what the others are compared with."""

    title: str
    unit: Unit
    figures: tuple[ComparedFigure | None, ...]

    @property
    def differences(self) -> tuple[Difference | None, ...]:
        """Of every brew but the first, from the first."""
        first, *others = self.figures
        return tuple(difference(one, first, self.unit) for one in others)

    @property
    def is_seen(self) -> bool:
        """Whether any brew differs."""
        return any(one is not None and one.is_seen for one in self.differences)


@dataclass(frozen=True, slots=True)
class BrewPart:
    """The whole brew, or one stage of it: stages are put beside each other by their place."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """The brews in the order given, and what was measured of them."""

    brews: tuple[BrewReport, ...]
    parts: tuple[BrewPart, ...]
    notes: tuple[str, ...]
    """What to know before comparing, a sentence each."""

    @property
    def letters(self) -> str:
        """One for each brew."""
        return LETTERS[: len(self.brews)]

    @property
    def seen(self) -> tuple[tuple[BrewPart, Row], ...]:
        """The rows in which any brew differs."""
        return tuple((part, row) for part in self.parts for row in part.rows if row.is_seen)

    @property
    def largest(self) -> tuple[BrewPart, Row, int] | None:
        """The largest difference of a mass, a flow or a time as a share of the first brew's, and
        the place of the brew that has it; None where none is seen."""
        found = [
            (abs(one.value) / first.value, part, row, place)
            for part, row in self.seen
            if row.unit is not Unit.PERCENT
            and (first := row.figures[0]) is not None
            and first.value > 0.0
            for place, one in enumerate(row.differences, 1)
            if one is not None and one.is_seen
        ]
        return max(found, key=lambda one: one[0])[1:] if found else None


def compare(brews: Sequence[BrewReport]) -> Comparison:
    """Raises UsageError for too few or too many brews, and for one in which nothing was poured."""
    if not FEWEST <= len(brews) <= MOST:
        raise UsageError(
            f"{len(brews)} recordings cannot be set side by side",
            f"name {FEWEST} to {MOST} of them; 'pourcoach report --class' takes any number",
        )
    for brew in brews:
        if brew.last is None or brew.last.pour.brew_start_s is None:
            raise UsageError(f"nothing was poured on {brew.name}", "leave it out")
    parts = [BrewPart("The whole brew", tuple(_whole(brews)))]
    stages = [() if brew.dripped else _stages(brew) for brew in brews]
    for place in range(max(map(len, stages))):
        at_place = [own[: place + 1] if place < len(own) else None for own in stages]
        parts.append(BrewPart(_title(place, at_place), tuple(_stage_rows(brews, at_place))))
    return Comparison(tuple(brews), tuple(parts), tuple(_notes(brews, stages)))


def _stages(brew: BrewReport) -> tuple[StagePour, ...]:
    return () if brew.last is None else brew.last.pour.stages


def _start_s(brew: BrewReport) -> float:
    assert brew.last is not None
    assert brew.last.pour.brew_start_s is not None
    return brew.last.pour.brew_start_s


def _start_error_s(brew: BrewReport) -> float | None:
    stages = _stages(brew)
    return stages[0].pours[0].start_error_s if stages else None


def _whole(brews: Sequence[BrewReport]) -> Iterator[Row]:
    yield Row("Water", Unit.GRAMS, tuple(map(_water, brews)))
    yield Row("Time", Unit.SECONDS, tuple(map(_time, brews)))


def _water(brew: BrewReport) -> ComparedFigure | None:
    assert brew.last is not None
    errors = [stage.mass_error_g for stage in _stages(brew)]
    known = [error for error in errors if error is not None]
    whole = bool(errors) and len(known) == len(errors)
    return ComparedFigure(brew.last.pour.water_g, hypot(*known) if whole else None)


def _time(brew: BrewReport) -> ComparedFigure | None:
    """None where nobody reported or weighed the end."""
    assert brew.last is not None
    pour, rate_hz = brew.last.pour, brew.last.estimate.traits.rate_hz
    known = pour.ending in (Ending.LIFTED, Ending.KEY)
    if pour.brew_s is None or not (known or (brew.dripped and pour.ending is Ending.RESTED)):
        return None
    start_error_s = _start_error_s(brew)
    if start_error_s is None or not rate_hz:
        return ComparedFigure(pour.brew_s, None)
    # The end is known to the reading it came with: even chances over the time of one.
    return ComparedFigure(pour.brew_s, hypot(start_error_s, 1.0 / rate_hz / sqrt(12.0)))


def _title(place: int, stages: Sequence[Sequence[StagePour] | None]) -> str:
    """The stage's name, or all of them where the brews call it differently."""
    names = dict.fromkeys(own[-1].stage for own in stages if own is not None)
    return f"{place + 1}. {' / '.join(names)}"


def _stage_rows(
    brews: Sequence[BrewReport], stages: Sequence[Sequence[StagePour] | None]
) -> Iterator[Row]:
    """``stages`` are those of each brew up to the one that the rows are about."""

    def row(
        title: str,
        unit: Unit,
        figure: Callable[[BrewReport, Sequence[StagePour]], ComparedFigure | None],
    ) -> Row:
        pairs = zip(brews, stages, strict=True)
        return Row(
            title, unit, tuple(None if own is None else figure(brew, own) for brew, own in pairs)
        )

    # The first water is where time and water count from.
    later = any(own is not None and len(own) > 1 for own in stages)
    if later:
        yield row("Began", Unit.SECONDS, _begun)
    yield row("Water", Unit.GRAMS, lambda _, own: _mass(own[-1]))
    if later:
        yield row("Poured to", Unit.GRAMS, lambda _, own: _reached(own))
    yield row("Flow", Unit.FLOW, lambda _, own: _flow(own[-1]))
    yield row("Wander of flow", Unit.PERCENT, lambda _, own: _wander(own[-1]))


def _begun(brew: BrewReport, own: Sequence[StagePour]) -> ComparedFigure | None:
    begun_s = own[-1].start_s - _start_s(brew)
    first, error = _start_error_s(brew), own[-1].pours[0].start_error_s
    return ComparedFigure(begun_s, None if first is None or error is None else hypot(first, error))


def _mass(stage: StagePour) -> ComparedFigure | None:
    return None if stage.mass_g is None else ComparedFigure(stage.mass_g, stage.mass_error_g)


def _reached(own: Sequence[StagePour]) -> ComparedFigure | None:
    end_g, errors = own[-1].end_g, [stage.mass_error_g for stage in own]
    if end_g is None:
        return None
    summed = list(accumulate((e or 0.0 for e in errors), hypot))[-1]
    return ComparedFigure(end_g, None if None in errors else summed)


def _flow(stage: StagePour) -> ComparedFigure | None:
    flow_gps = stage.mean_flow_gps
    return None if flow_gps is None else ComparedFigure(flow_gps, stage.mean_flow_error_gps)


def _wander(stage: StagePour) -> ComparedFigure | None:
    if stage.flow_cv is None:
        return None
    error = stage.flow_cv_error
    return ComparedFigure(100.0 * stage.flow_cv, None if error is None else 100.0 * error)


def _notes(brews: Sequence[BrewReport], stages: Sequence[Sequence[StagePour]]) -> Iterator[str]:
    first = brews[0].plan
    for letter, brew in list(zip(LETTERS, brews, strict=False))[1:]:
        if brew.plan != first:
            yield (
                f"{letter} was brewed by another plan than A: a difference may be meant."
                if brew.plan is not None and first is not None
                else f"Only one of A and {letter} has a plan."
            )
        if brew.dripped != brews[0].dripped:
            yield f"On {letter} another thing stood on the scale than on A."
    if len(set(map(len, stages))) > 1:
        yield "They do not have equally many stages; stages stand beside each other by their place."
