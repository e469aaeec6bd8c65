"""One person over weeks: each criterion's middle and spread, whether it gets better, how well it
repeats.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from math import isinf
from statistics import fmean, median

from pourcoach.coaching.marking.rubric import Criterion, Measure
from pourcoach.reports.brew.marks_table import bounds_text, mark_text
from pourcoach.reports.group.group_brew import NOBODY, GroupBrew, MarkedFigure, oldest_first
from pourcoach.statistics.repeatability import Repeatability, pooled_repeatability
from pourcoach.statistics.spread import Spread, spread
from pourcoach.statistics.theil_sen import LEAST_POINTS, Trend, theil_sen

LEAST_FREEDOM = 4
"""Below it a repeatability is known to no better than two thirds of itself."""
DAYS = 7.0
"""Trends are said by the week."""


@dataclass(frozen=True, slots=True)
class CriterionProgress:
    """One criterion of the rubric, over all stages that it looks at."""

    criterion: Criterion
    met: int
    judged: int
    spread: Spread
    trend: Trend | None
    """Of how far off it was, by the week, from the middle of each day; None with too few days."""
    repeats: Repeatability | None
    """Between brews of one day and one plan; None with too few of them."""

    @property
    def median_text(self) -> str:
        return mark_text(self.spread.median, self.criterion.measure)

    @property
    def spread_text(self) -> str:
        """The middle half of the figures."""
        measure = self.criterion.measure
        low, high = (mark_text(one, measure) for one in (self.spread.low, self.spread.high))
        return low if low == high else f"{low} to {high}"

    @property
    def bounds_text(self) -> str:
        return bounds_text(self.criterion)

    @property
    def trend_text(self) -> str:
        """Whether it gets nearer to what is wanted."""
        trend = self.trend
        if trend is None:
            return "too few days"
        measure = self.criterion.measure
        low, high = sorted((abs(trend.slope_low), abs(trend.slope_high)))
        if not trend.is_seen or trend.slope == 0.0:
            return "no change seen"
        word = "better" if trend.slope < 0.0 else "worse"
        return (
            f"{word} by {mark_text(abs(trend.slope), measure)} a week"
            f" ({mark_text(low, measure)} to {mark_text(high, measure)})"
        )

    @property
    def repeats_text(self) -> str:
        """What two brews of a day differ by at most, in 95 of 100 pairs."""
        if self.repeats is None:
            return "too few brews a day"
        limit = mark_text(self.repeats.limit, self.criterion.measure)
        return f"within {limit} (± {100 * self.repeats.precision:.0f} %)"


@dataclass(frozen=True, slots=True)
class PersonProgress:
    """All that is known of somebody's brews."""

    name: str
    brews: tuple[GroupBrew, ...]
    """Oldest first; only those that are brews."""
    criteria: tuple[CriterionProgress, ...]
    marks_trend: Trend | None
    """Of the share of marks met, by the week."""
    left_out: int

    @property
    def days(self) -> int:
        """On how many days there were brews of a known date."""
        return len({brew.at.date() for brew in self.brews if brew.at is not None})

    @property
    def sentences(self) -> tuple[str, ...]:
        """What can be said of the course of it, and what cannot."""
        if not self.brews:
            return ("There are no brews to judge by.",)
        lines = []
        if self.days < LEAST_POINTS:
            lines.append(
                f"Brews of {self.days} {'day' if self.days == 1 else 'days'} are too few for a"
                f" trend: that takes {LEAST_POINTS} days at least."
            )
        elif self.marks_trend is not None:
            lines.append(_course(self.marks_trend))
        if all(one.repeats is None for one in self.criteria):
            lines.append(
                "How well the brews repeat cannot be said yet: that takes several of one plan on"
                " one day."
            )
        return tuple(lines)


def person_progress(brews: Sequence[GroupBrew]) -> PersonProgress:
    """Of the brews of one person, named as the newest of them says."""
    ordered = oldest_first(brews)
    poured = [brew for brew in ordered if brew.is_brew]
    shares = [(brew, brew.met_share) for brew in poured]
    return PersonProgress(
        ordered[-1].by if ordered else NOBODY,
        tuple(poured),
        tuple(_criteria(poured)),
        _trend([(brew, share) for brew, share in shares if share is not None]),
        len(brews) - len(poured),
    )


def _course(trend: Trend) -> str:
    if not trend.is_seen or trend.slope == 0.0:
        return "The share of marks met shows no change that is more than chance."
    word = "rises" if trend.slope > 0.0 else "falls"
    low, high = sorted((abs(trend.slope_low), abs(trend.slope_high)))
    return (
        f"The share of marks met {word} by {100 * abs(trend.slope):.1f} points a week"
        f" ({100 * low:.1f} to {100 * high:.1f})."
    )


def _criteria(brews: Sequence[GroupBrew]) -> Iterator[CriterionProgress]:
    """Those of the newest brew's rubric; marks by other bounds are of another criterion."""
    # Grouped once: a library holds thousands of brews.
    by_criterion: defaultdict[Criterion, list[tuple[GroupBrew, list[MarkedFigure]]]]
    by_criterion = defaultdict(list)
    for brew in brews:
        own: defaultdict[Criterion, list[MarkedFigure]] = defaultdict(list)
        for mark in brew.marks:
            own[_criterion(mark)].append(mark)
        for criterion, marks in own.items():
            by_criterion[criterion].append((brew, marks))
    wanted = dict.fromkeys(map(_criterion, brews[-1].marks)) if brews else {}
    for criterion in wanted:
        marks = [mark for _, own_marks in by_criterion[criterion] for mark in own_marks]
        by_brew = [
            (brew, [mark.value for mark in own_marks if mark.value is not None])
            for brew, own_marks in by_criterion[criterion]
        ]
        by_brew = [(brew, values) for brew, values in by_brew if values]
        if not by_brew:
            continue
        best = _wanted(criterion)
        yield CriterionProgress(
            criterion,
            sum(mark.met is True for mark in marks),
            sum(mark.met is not None for mark in marks),
            spread([value for _, values in by_brew for value in values]),
            _trend([(brew, fmean(abs(v - best) for v in values)) for brew, values in by_brew]),
            _repeats([(brew, fmean(values)) for brew, values in by_brew]),
        )


def _criterion(mark: MarkedFigure) -> Criterion:
    return Criterion(mark.title, mark.measure, mark.least, mark.most)


def _wanted(criterion: Criterion) -> float:
    """What it would be at best: what is measured off the plan is best at 0."""
    if criterion.measure is Measure.BLOOM_SHARE:
        return 1.0
    if criterion.measure is Measure.BREW_S:
        bounds = [one for one in (criterion.least, criterion.most) if not isinf(one)]
        return fmean(bounds)
    return 0.0


def _trend(figures: Sequence[tuple[GroupBrew, float]]) -> Trend | None:
    """By the week, of the middle of each day: brews of one day share beans, water and mood, and
    are not distinguished as if they were days."""
    by_day: defaultdict[date, list[float]] = defaultdict(list)
    for brew, figure in figures:
        if brew.at is not None:
            by_day[brew.at.date()].append(figure)
    if not by_day:
        return None
    first = min(by_day)
    days = sorted(by_day)
    return theil_sen(
        [(day - first).days / DAYS for day in days], [median(by_day[day]) for day in days]
    )


def _repeats(figures: Sequence[tuple[GroupBrew, float]]) -> Repeatability | None:
    groups: defaultdict[tuple[date, object], list[float]] = defaultdict(list)
    for brew, figure in figures:
        if brew.at is not None:
            groups[brew.at.date(), repr(brew.figures["plan"])].append(figure)
    found = pooled_repeatability(groups.values())
    return found if found is not None and found.freedom >= LEAST_FREEDOM else None
