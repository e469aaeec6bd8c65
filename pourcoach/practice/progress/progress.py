"""How a student stands in each drill, from tests alone; practice and assistance stand apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp, sqrt
from statistics import fmean, stdev

from pourcoach.practice.assignment import Mode
from pourcoach.practice.block.result import Result
from pourcoach.practice.course import DAY
from pourcoach.practice.drill.measure import PourMeasure
from pourcoach.practice.progress.learning_curve import LearningCurve, learning_curve
from pourcoach.practice.schedule import Part
from pourcoach.statistics.normal_and_t import t_95
from pourcoach.statistics.theil_sen import Trend, theil_sen

LEAST_TESTS = 4
"""Of one test; a mean of fewer has an interval too wide to act on (common practice)."""


@dataclass(frozen=True, slots=True)
class PourRecord:
    """One pour made to its end."""

    at: datetime
    drill: str
    title: str
    mode: Mode
    part: Part
    live_help: bool
    result: Result
    asks: PourMeasure = PourMeasure.MASS
    """What the student was asked to estimate."""

    @property
    def error(self) -> float | None:
        """Of the leading figure; over is positive."""
        return self.result.lead.error


@dataclass(frozen=True, slots=True)
class Group:
    """Pours of one kind. None where there are too few."""

    pours: int
    bias: float | None
    spread: float | None
    in_band: int
    judged: int


@dataclass(frozen=True, slots=True)
class DrillProgress:
    """Errors are in the unit of ``measure``."""

    drill: str
    title: str
    measure: PourMeasure
    tests: int
    """Test pours, each made 24 h or more after the practice before it."""
    bias: float | None
    """Mean error in them; over is positive."""
    spread: float | None
    """Standard deviation of the error in them."""
    interval: tuple[float, float] | None
    """95 %, of the bias."""
    error: float | None
    """Root mean square error in tests: bias and spread together, the figure of skill."""
    error_interval: tuple[float, float] | None
    """95 %, about."""
    success: tuple[int, int]
    """Test pours in band, of those judged."""
    trend: Trend | None
    """Of the size of errors in tests, a day; None with too few or on one day alone."""
    curve: LearningCurve | None
    """Of the size of errors in practice without live help."""
    assist: Group
    train: Group
    test: Group
    estimates: tuple[float, ...]
    """Estimate less truth, in the order of pours, practice and tests; in the unit of ``asks``."""
    asks: PourMeasure = PourMeasure.MASS
    """What is estimated, as it was asked last."""


def progress(records: Sequence[PourRecord]) -> tuple[DrillProgress, ...]:
    """A drill each, in the order in which they were begun. Records may come in any order."""
    ordered = sorted(records, key=lambda record: record.at)
    names = list(dict.fromkeys(record.drill for record in ordered))
    return tuple(_of_drill([each for each in ordered if each.drill == name]) for name in names)


def nothing_yet(drill: str, measure: PourMeasure) -> DrillProgress:
    """Of a drill without a pour."""
    none = _group([])
    return DrillProgress(
        drill, drill, measure, 0, None, None, None, None, None, (0, 0), None, None, none, none,
        none, (),
    )  # fmt: skip


def true_tests(records: Sequence[PourRecord]) -> list[PourRecord]:
    """Test pours that came 24 h or more after any practice of the drill, whatever they claim."""
    tests: list[PourRecord] = []
    practised: datetime | None = None
    for record in sorted(records, key=lambda each: each.at):
        if not record.part.is_test or record.mode is Mode.ASSIST or record.live_help:
            if record.part is not Part.BASELINE:
                practised = record.at
        elif practised is not None and record.at - practised >= DAY:
            tests.append(record)
    return tests


def _of_drill(records: list[PourRecord]) -> DrillProgress:
    tests = true_tests(records)
    errors = [record.error for record in tests if record.error is not None]
    enough = len(errors) >= LEAST_TESTS
    bias = fmean(errors) if enough else None
    spread = stdev(errors) if enough else None
    train = [r for r in records if r.mode is Mode.TRAIN and not r.part.is_test]
    unaided = [r.error for r in train if not r.live_help and r.error is not None]
    newest = records[-1]
    return DrillProgress(
        drill=newest.drill,
        title=newest.title,
        measure=newest.result.lead.judged.measure,
        tests=len(tests),
        bias=bias,
        spread=spread,
        interval=None if bias is None or spread is None else _about(bias, spread, len(errors)),
        error=_rms(errors) if enough else None,
        error_interval=_rms_interval(errors) if enough else None,
        success=_success(tests),
        trend=_trend(tests),
        curve=learning_curve([abs(error) for error in unaided]),
        assist=_group([r for r in records if r.mode is Mode.ASSIST]),
        train=_group(train),
        test=_group(tests),
        estimates=tuple(
            r.result.estimate_error
            for r in records
            if r.mode is Mode.TRAIN
            and r.asks is newest.asks
            and r.result.estimate_error is not None
        ),
        asks=newest.asks,
    )


def _about(mean: float, deviation: float, count: int) -> tuple[float, float]:
    half = t_95(count - 1) * deviation / sqrt(count)
    return mean - half, mean + half


def _rms(errors: Sequence[float]) -> float:
    return sqrt(fmean(error**2 for error in errors))


def _rms_interval(errors: Sequence[float]) -> tuple[float, float]:
    """From the spread of the squares, on the scale of logarithms: a size is not below 0."""
    squares = [error**2 for error in errors]
    mean = fmean(squares)
    if mean <= 0:
        return 0.0, 0.0
    half = t_95(len(squares) - 1) * stdev(squares) / sqrt(len(squares)) / mean / 2
    size = sqrt(mean)
    # Half the relative error of the mean square is that of its root.
    return size * exp(-half), size * exp(half)


def _success(records: Sequence[PourRecord]) -> tuple[int, int]:
    judged = [r.result.in_band for r in records if r.result.in_band is not None]
    return sum(judged), len(judged)


def _group(records: Sequence[PourRecord]) -> Group:
    errors = [r.error for r in records if r.error is not None]
    in_band, judged = _success(records)
    return Group(
        len(records),
        fmean(errors) if errors else None,
        stdev(errors) if len(errors) > 1 else None,
        in_band,
        judged,
    )


def _trend(tests: Sequence[PourRecord]) -> Trend | None:
    judged = [r for r in tests if r.error is not None]
    if not judged or judged[-1].at - judged[0].at < timedelta(days=1):
        return None
    # Pours of one sitting are minutes apart, and a slope between two of them means nothing.
    days = [float((r.at.date() - judged[0].at.date()).days) for r in judged]
    return theil_sen(days, [abs(r.error) for r in judged if r.error is not None])
