"""Which of a rule's moves to make, and how far, from what earlier brews have shown.

The settings that were brewed are points on the axes of the six variables. A move goes one step,
or two after two single ones that were not enough; between two settings with opposite faults it
goes half a step; where nothing is left between them, they enclose the best, and the search stops.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.brewing.advice.evidence import (
    Evidence,
    Offset,
    earlier_brews,
    read_signals,
)
from pourcoach.brewing.advice.move import HALF, ONE, TWO, Change, Move, Variable
from pourcoach.brewing.advice.taste import Taste
from pourcoach.brewing.strength.published_targets import (
    CLASSIC_EXTRACTION_PCT,
    off_classic_extraction,
)
from pourcoach.brewing.temperature.bands import NO_FAULT_BAND_C
from pourcoach.domain.units import Celsius

_DEGREES_A_STEP: Celsius = 2.0
# The two that carry a brew far; the others trim it, and more than so many steps of them from where
# they first stood is another recipe (common practice).
_MOST_STEPS = {
    Variable.TEMPERATURE: TWO,
    Variable.TIME: TWO,
    Variable.TURBULENCE: ONE,
    Variable.PRESSURE: ONE,
}
# From how many steps that figures ask for two are made at once, and up to how many half a one.
_TWO_FROM = 1.75
_HALF_TO = 0.6


@dataclass(frozen=True, slots=True)
class SearchResult:
    """What to set next. With ``enclosed``, which of two settings to keep."""

    change: Change | None
    """None with ``enclosed`` where this setting is no worse than the other, and where no move is
    left to make."""
    back: Change | None = None
    """The last change, to be taken back along with it."""
    enclosed: Change | None = None
    """The way to the setting that encloses the best together with this one."""


def search(levers: Sequence[Move], evidence: Evidence) -> SearchResult:
    """The first of the moves that earlier brews leave open, with its size."""
    return _Search(evidence).choose(levers)


class _Search:
    def __init__(self, evidence: Evidence) -> None:
        self._evidence = evidence
        self._signals = read_signals(evidence)
        # A pour with faults says nothing of the setting that it was made with.
        self._points = [
            (offset, brew)
            for offset, brew in earlier_brews(evidence)
            if not read_signals(brew).pour_faulty
        ]
        self._origin: Offset = {}

    def choose(self, levers: Sequence[Move]) -> SearchResult:
        last = self._signals.last
        back = None
        # What the last change had turned is turned back first; what helped goes on.
        first = () if last is None else (last.move.back, last.move)
        order = sorted(levers, key=lambda move: first.index(move) if move in first else len(first))
        if last is not None and self._signals.worse and last.move.back not in levers:
            back = last.back
            self._points.append(({}, self._evidence))
            self._origin = {last.move.variable: -last.along}
            order = [move for move in order if move is not last.move]
        for move in order:
            if move in self._unhelpful():
                continue
            change, enclosing = self._look(move)
            if change is not None:
                return SearchResult(change, back)
            if enclosing is not None:
                return self._enclosed(enclosing, back)
        return SearchResult(None, back)

    def _look(self, move: Move) -> tuple[Change | None, tuple[Change, Evidence] | None]:
        """The step to make, or what encloses the best together with the origin, or neither."""
        ahead = self._ahead(move)
        if ahead is None:
            change = self._within_bounds(Change(move, self._free_step(move)))
        else:
            distance, brew = ahead
            if distance <= ONE and (self._same_fault(brew) or not move.variable.divides):
                return None, None
            if distance <= HALF:
                return None, (Change(move, distance), brew)
            change = Change(move, ONE if distance > ONE else HALF)
        return (None if change is None or self._was_brewed(change) else change), None

    def _ahead(self, move: Move) -> tuple[float, Evidence] | None:
        """The nearest brew that differs from the origin by this move alone, and how far."""
        found: tuple[float, Evidence] | None = None
        for offset, brew in self._points:
            apart = _apart(offset, self._origin)
            if set(apart) == {move.variable}:
                distance = apart[move.variable] * move.sign
                if distance > 0 and (found is None or distance < found[0]):
                    found = (distance, brew)
        return found

    def _free_step(self, move: Move) -> float:
        """Into what was never tried: as figures ask for, else two after two that were too few."""
        if not move.variable.divides:
            return ONE
        wanted = self._wanted_steps(move)
        if wanted is not None:
            return TWO if wanted >= _TWO_FROM else HALF if wanted <= _HALF_TO else ONE
        last, before = self._signals.last, self._evidence.before
        if last is None or last.move is not move or self._signals.worse or before is None:
            return ONE
        again = last.steps == TWO or before.changed == (last,)
        return TWO if again and last.steps >= ONE else ONE

    def _wanted_steps(self, move: Move) -> float | None:
        """How many would reach the middle of the aim, by figures; None without them."""
        now = self._evidence
        if now.extraction_pct is None:
            return None
        if move.variable is Variable.RATIO:
            if now.strength_pct is None:
                return None
            # The classic chart: R = E / S + what the grounds keep, which drops out.
            extraction = now.extraction_pct.value
            return abs(extraction / now.aim_strength_pct - extraction / now.strength_pct.value)
        last, before = self._signals.last, now.before
        then = None if before is None else before.extraction_pct
        if last is None or last.move.variable is not move.variable or then is None:
            return None
        a_step = (now.extraction_pct.value - then.value) / last.along
        wanted = (sum(CLASSIC_EXTRACTION_PCT) / 2.0 - now.extraction_pct.value) * move.sign
        return wanted / a_step if a_step > 0 else None

    def _within_bounds(self, change: Change) -> Change | None:
        """As it is, smaller or none, so that it neither leaves the usual heat nor goes too far."""
        move = change.move
        room = _MOST_STEPS.get(move.variable, math.inf) - self._already(move)
        heat = self._evidence.temperature_c
        if move.variable is Variable.TEMPERATURE and heat is not None:
            coolest, hottest = NO_FAULT_BAND_C
            left = (hottest - heat) if move.sign > 0 else (heat - coolest)
            room = min(room, left / _DEGREES_A_STEP)
        sizes = (change.steps, ONE, HALF) if move.variable.divides else (ONE,)
        return next((Change(move, size) for size in sizes if size <= room), None)

    def _already(self, move: Move) -> float:
        """How many steps along this move the origin lies from the farthest earlier brew."""
        gone = (
            -_apart(offset, self._origin).get(move.variable, 0.0) * move.sign
            for offset, _ in self._points
        )
        return max(gone, default=0.0)

    def _was_brewed(self, change: Change) -> bool:
        target = dict(self._origin)
        target[change.move.variable] = target.get(change.move.variable, 0.0) + change.along
        return any(not _apart(offset, target) for offset, _ in self._points)

    def _same_fault(self, brew: Evidence) -> bool:
        """Whether that brew has this one's fault: then nothing lies enclosed between them."""
        now, then = self._signals, read_signals(brew)
        if now.under or now.over:
            return (now.under, now.over) == (then.under, then.over)
        if now.weak or now.strong:
            return (now.weak, now.strong) == (then.weak, then.strong)
        return False

    def _unhelpful(self) -> set[Move]:
        """Moves that made an earlier brew worse and left its fault."""
        moves = set()
        for _, brew in self._points:
            signals = read_signals(brew)
            if signals.worse and signals.last is not None and self._same_fault(brew):
                moves.add(signals.last.move)
        return moves

    def _enclosed(self, enclosing: tuple[Change, Evidence], back: Change | None) -> SearchResult:
        way, other = enclosing
        if back is not None:
            return SearchResult(None, back, way)
        return SearchResult(way if self._is_better(other, way) else None, None, way)

    def _is_better(self, other: Evidence, way: Change) -> bool:
        last = self._signals.last
        if self._signals.worse and last is not None and way == last.back:
            return not read_signals(other).worse
        now, then = self._evidence.extraction_pct, other.extraction_pct
        if now is None or then is None:
            return other.tastes == {Taste.BALANCED}
        return off_classic_extraction(then.value) < off_classic_extraction(now.value)


def _apart(one: Offset, other: Offset) -> dict[Variable, float]:
    """Where the two differ, and by how much."""
    apart = {name: one.get(name, 0.0) - other.get(name, 0.0) for name in {*one, *other}}
    return {name: steps for name, steps in apart.items() if steps}
