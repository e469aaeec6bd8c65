"""How a pour went beside its task."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Self

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.practice.block.made_pours import MadePour, streams
from pourcoach.practice.block.water_curve import WaterCurve
from pourcoach.practice.drill.measure import Asked, Judged, PourMeasure
from pourcoach.practice.level import Level

SURE = 2.0
"""Coverage factor of an expanded uncertainty, about 95 % (JCGM 100:2008, 6.3)."""
REACTION_S: Seconds = 0.2
"""No hand can be asked to stop within less flow than this: simple reactions take about 0.19 s
(Welford 1980)."""
INSET = 0.2
"""Of the water of a part of a stream, at either end: the change of pace itself is left out."""


@dataclass(frozen=True, slots=True)
class PourFigure:
    """One measure of one pour."""

    judged: Judged
    asked: float
    """What the task asks for, in the measure's unit."""
    band: float
    """Half its width about ``asked``, in the same unit."""
    poured: float | None
    """What was made; None where it was not, or cannot be said."""
    missing: bool = False
    """The pour was not made."""

    @property
    def error(self) -> float | None:
        """Over is positive; None where nothing can be said."""
        return None if self.poured is None else self.poured - self.asked

    @property
    def in_band(self) -> bool | None:
        """None where it was not judged."""
        error = self.error
        if error is None:
            return False if self.missing else None
        return abs(error) <= self.band


@dataclass(frozen=True, slots=True)
class Result:
    """All figures of a pour, and what the student had said of it."""

    figures: tuple[PourFigure, ...]
    stopped_s: Seconds | None
    """Last water, on the tape; None where none came."""
    truth: float | None
    """What the student is asked to estimate."""
    estimate: float | None = None

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "figures": [
                [
                    each.judged.measure.value,
                    each.judged.pour,
                    each.judged.band,
                    each.asked,
                    each.band,
                    each.poured,
                    each.missing,
                ]
                for each in self.figures
            ],
            "stopped_s": self.stopped_s,
            "truth": self.truth,
            "estimate": self.estimate,
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """The form of ``as_dict``. Raises ValueError, TypeError or KeyError for any other."""
        figures = tuple(
            PourFigure(Judged(PourMeasure(measure), band, pour), asked, half, poured, missing)
            for measure, pour, band, asked, half, poured, missing in data["figures"]
        )
        if not figures:
            raise ValueError("a result without figures")
        return cls(figures, data["stopped_s"], data["truth"], data["estimate"])

    @property
    def lead(self) -> PourFigure:
        """The figure whose bias and spread are reported."""
        return self.figures[0]

    @property
    def in_band(self) -> bool | None:
        """Whether all that could be judged was in its band; None where nothing could be."""
        judged = [figure.in_band for figure in self.figures if figure.in_band is not None]
        return all(judged) if judged else None

    @property
    def complete(self) -> bool:
        """Whether every figure is there."""
        return all(figure.poured is not None or figure.missing for figure in self.figures)

    @property
    def worst(self) -> PourFigure | None:
        """The figure farthest outside its band; None where none is outside."""
        outside = [figure for figure in self.figures if figure.in_band is False]
        return max(outside, key=_rank, default=None)

    @property
    def estimate_error(self) -> float | None:
        """Estimate less truth."""
        if self.estimate is None or self.truth is None:
            return None
        return self.estimate - self.truth


def _rank(figure: PourFigure) -> float:
    """Errors in bands; one that was not made is farthest off, one not judged nearest."""
    if figure.missing:
        return float("inf")
    return -1.0 if figure.error is None else abs(figure.error) / figure.band


class Measuring:
    """Works out the figures of one attempt at a plan from the pours that were made."""

    def __init__(self, plan: Plan, made: tuple[MadePour, ...], curve: WaterCurve) -> None:
        """All of ``made`` have ended."""
        self._plan = plan
        self._made = made
        self._curve = curve
        self._streams = streams(plan)

    def result(self, judged: tuple[Judged, ...], asks: Asked, level: Level) -> Result:
        """The figures in the order of ``judged``."""
        figures = tuple(self._figure(each, level) for each in judged)
        stopped_s = self._made[-1].end_s if self._made else None
        return Result(figures, stopped_s, self._truth(asks))

    def _truth(self, asks: Asked) -> float | None:
        if asks.measure is PourMeasure.MASS and asks.pour is None:
            return self._water_g()
        return self._poured(asks.measure, (asks.pour or 1) - 1)

    def _figure(self, judged: Judged, level: Level) -> PourFigure:
        if judged.measure is PourMeasure.LIKENESS:
            return self._likeness(judged, level)
        if judged.measure is PourMeasure.MASS and judged.pour is None:
            return self._made_figure(
                judged, self._plan.water_g, self._water_g(), level, missing=not self._made
            )
        if judged.pour is not None:
            return self._of_stage(judged, judged.pour - 1, level)
        first = 1 if judged.measure in (PourMeasure.START, PourMeasure.REST) else 0
        all_of_them = [
            self._of_stage(judged, index, level) for index in range(first, len(self._plan.stages))
        ]
        return max(all_of_them, key=_rank)

    def _of_stage(self, judged: Judged, index: int, level: Level) -> PourFigure:
        missing = self._stream_of(index) >= len(self._made)
        poured = None if missing else self._poured(judged.measure, index)
        return self._made_figure(
            judged, self._asked(judged.measure, index), poured, level, missing=missing
        )

    def _made_figure(
        self, judged: Judged, asked: float, poured: float | None, level: Level, *, missing: bool
    ) -> PourFigure:
        band = judged.band * level.widens
        if judged.measure is PourMeasure.FLOW:
            band *= asked
        elif judged.measure in (PourMeasure.LANDING, PourMeasure.MASS, PourMeasure.LIKENESS):
            band = max(band, self._least_band_g())
        return PourFigure(judged, asked, band, poured, missing)

    def _least_band_g(self) -> Grams:
        """What the scale can show, and what a reaction lets through."""
        error_g = max((made.mass_error_g for made in self._made), default=0.0)
        fastest_gps = max(stage.flow_gps for stage in self._plan.stages)
        return SURE * error_g + REACTION_S * fastest_gps

    def _likeness(self, judged: Judged, level: Level) -> PourFigure:
        masses_g = [made.mass_g for made in self._made if made.mass_g is not None]
        if len(masses_g) < len(self._streams):
            return self._made_figure(judged, 0.0, None, level, missing=True)
        mean_g = sum(masses_g) / len(masses_g)
        farthest_g = max(masses_g, key=lambda mass_g: abs(mass_g - mean_g))
        return self._made_figure(judged, mean_g, farthest_g, level, missing=False)

    def _water_g(self) -> Grams | None:
        masses_g = [made.mass_g for made in self._made]
        if not masses_g or None in masses_g:
            return None
        return sum(mass_g for mass_g in masses_g if mass_g is not None)

    def _stream_of(self, index: int) -> int:
        return next(n for n, stages in enumerate(self._streams) if index in stages)

    def _asked(self, measure: PourMeasure, index: int) -> float:
        plan, stage = self._plan, self._plan.stages[index]
        mass_g = stage.to_g - plan.stage_from_g(index)
        return {
            PourMeasure.LANDING: stage.to_g,
            PourMeasure.MASS: mass_g,
            PourMeasure.FLOW: stage.flow_gps,
            PourMeasure.EVENNESS: 0.0,
            PourMeasure.DURATION: mass_g / stage.flow_gps,
            PourMeasure.START: stage.start_s,
            PourMeasure.REST: stage.start_s - plan.stage_end_s(index - 1) if index else 0.0,
        }[measure]

    def _poured(self, measure: PourMeasure, index: int) -> float | None:
        number = self._stream_of(index)
        if number >= len(self._made):
            return None
        if len(self._streams[number]) > 1:
            return self._in_stream(measure, index, number)
        return _OF_MADE[measure](self._made, number)

    def _in_stream(self, measure: PourMeasure, index: int, number: int) -> float | None:
        """Of a stage that shares its stream with others: only its flow can be distinguished."""
        if measure is PourMeasure.LANDING and index == self._streams[number][-1]:
            return self._made[number].end_g
        if measure is not PourMeasure.FLOW:
            return None
        # Levels count from where this stream really began.
        moved_g = self._made[number].start_g - self._plan.stage_from_g(self._streams[number][0])
        from_g = self._plan.stage_from_g(index) + moved_g
        to_g = self._plan.stages[index].to_g + moved_g
        end_g = self._made[number].end_g
        if end_g is not None and index == self._streams[number][-1]:
            to_g = min(to_g, end_g)
        inset_g = INSET * (to_g - from_g)
        return self._curve.flow_gps(from_g + inset_g, to_g - inset_g)


def _start(made: tuple[MadePour, ...], number: int) -> float:
    return made[number].start_s - made[0].start_s


def _rest(made: tuple[MadePour, ...], number: int) -> float | None:
    end_s = made[number - 1].end_s if number else None
    return None if end_s is None else made[number].start_s - end_s


_OF_MADE: Mapping[PourMeasure, Callable[[tuple[MadePour, ...], int], float | None]] = {
    PourMeasure.LANDING: lambda made, number: made[number].end_g,
    PourMeasure.MASS: lambda made, number: made[number].mass_g,
    PourMeasure.FLOW: lambda made, number: made[number].flow_gps,
    PourMeasure.EVENNESS: lambda made, number: made[number].flow_cv,
    PourMeasure.DURATION: lambda made, number: made[number].lasts_s,
    PourMeasure.START: _start,
    PourMeasure.REST: _rest,
}
