"""All figures of a check, from what was seen."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import ParamSpec, TypeVar

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.figures.creep import Creep, ZeroReturn, creep, zero_return
from pourcoach.weighing.figures.delay import Delay, delay
from pourcoach.weighing.figures.discrimination import Discrimination, discrimination
from pourcoach.weighing.figures.eccentricity import Eccentricity, eccentricity
from pourcoach.weighing.figures.finding import TestResult
from pourcoach.weighing.figures.linearity import Linearity, linearity
from pourcoach.weighing.figures.pace import Pace, pace
from pourcoach.weighing.figures.repeatability import WeighingRepeatability, repeatability
from pourcoach.weighing.figures.rest import Rest, rest_of
from pourcoach.weighing.figures.step_response import StepResponses, step_response
from pourcoach.weighing.loads.known_load import KnownLoad
from pourcoach.weighing.loads.standard_weight import suits
from pourcoach.weighing.loads.verification import Yardstick, yardstick_for

_Given = ParamSpec("_Given")
_Figures = TypeVar("_Figures")


@dataclass(frozen=True, slots=True)
class ScaleCheck:
    """Figures by test; None where the test was not done."""

    yardstick: Yardstick
    rest: Rest | None
    pace: Pace | None
    linearity: Linearity | None
    repeatability: WeighingRepeatability | None
    eccentricity: Eccentricity | None
    discrimination: Discrimination | None
    creep: Creep | None
    zero_return: ZeroReturn | None
    steps: StepResponses | None
    delay: Delay | None
    coarse_loads: tuple[KnownLoad, ...]
    """Loads not known well enough to test what is allowed at them."""
    unknown_loads: bool
    """Whether for some load nobody has said how well it is known."""
    faults: tuple[str, ...]
    """What was done but could not be judged, and why."""

    @property
    def results(self) -> tuple[TestResult, ...]:
        """Of all tests that were done, in the order of the page."""
        every: tuple[TestResult | None, ...] = (
            self.rest,
            self.pace,
            self.linearity,
            self.repeatability,
            self.eccentricity,
            self.discrimination,
            self.creep,
            self.zero_return,
            self.steps,
            self.delay,
        )
        return tuple(result for result in every if result is not None)

    @property
    def worst_error_g(self) -> Grams | None:
        """The largest error seen of any known load; None where none was weighed."""
        errors_g = [abs(error.error_g) for error in self.linearity.errors] if self.linearity else []
        if self.eccentricity is not None:
            errors_g += [abs(error_g) for error_g in self.eccentricity.errors_g.values()]
        return max(errors_g, default=None)


def judge_scale(record: CheckRecord, *, in_service: bool = True) -> ScaleCheck:
    """Work out every figure that the record allows. Raises UsageError only for a bad yardstick."""
    yardstick = yardstick_for(record.interval_g, record.capacity_g, in_service=in_service)
    rest = rest_of(record.still)
    zero = _zero(record, rest)
    loads = record.loads
    if loads and zero is not None and all(load.true_g for load in loads):
        loads = (zero, *loads)
    weighed = (*record.loads, *record.repeats, *record.places.values())
    known = [load for load in weighed if load.true_g]
    tests = _Tests()
    lifted = [tests.done(step_response, readings) for readings in record.lifted]
    steps = tuple(step for step in lifted if step is not None)
    return ScaleCheck(
        yardstick,
        rest,
        tests.done(pace, record.still) if record.still else None,
        tests.done(linearity, loads, yardstick) if loads else None,
        tests.done(repeatability, record.repeats, yardstick) if record.repeats else None,
        tests.done(eccentricity, record.places, zero.shown if zero else 0.0, yardstick)
        if record.places
        else None,
        tests.done(discrimination, *record.small, yardstick) if record.small else None,
        tests.done(creep, record.held, yardstick) if record.held else None,
        zero_return(record.zero_before.shown, record.zero_after.shown, yardstick)
        if record.zero_before is not None and record.zero_after is not None
        else None,
        StepResponses(steps) if steps else None,
        tests.done(delay, record.presses_s, record.pressed) if record.presses_s else None,
        tuple(
            load
            for load in known
            if load.known_to_g is not None
            and not suits(load.known_to_g, yardstick.limit_g(load.true_g))
        ),
        any(load.known_to_g is None for load in known),
        tuple(tests.faults),
    )


def _zero(record: CheckRecord, rest: Rest | None) -> KnownLoad | None:
    """The empty scale as it was weighed, or as it lay still."""
    weighed = next((load for load in record.loads if load.true_g == 0.0), None)
    return weighed if weighed is not None or rest is None else rest.weighed(0.0)


class _Tests:
    """Does tests one by one; what one of them cannot take is reported and stops no other."""

    def __init__(self) -> None:
        self.faults: list[str] = []

    def done(
        self, test: Callable[_Given, _Figures], *args: _Given.args, **kwargs: _Given.kwargs
    ) -> _Figures | None:
        try:
            return test(*args, **kwargs)
        except UsageError as error:
            self.faults.append(str(error))
            return None
