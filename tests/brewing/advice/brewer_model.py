"""A small brewer with settings, whose cup and time follow from them: advice must lead it home.

Extraction rises with grind, heat, waiting, mixing and water; a finer grind runs slower. Every
figure is invented; what matters is that the signs are the trade's.
"""

from dataclasses import dataclass, field, replace

from pourcoach.brewing.advice.dialling_in import Advice, advise
from pourcoach.brewing.advice.evidence import Evidence
from pourcoach.brewing.advice.move import Change, Variable
from pourcoach.brewing.advice.rule import AdviceStep
from pourcoach.brewing.advice.taste import Taste
from pourcoach.brewing.strength.measured import Measured

AIM_PCT, NOTICED_PCT = 1.25, 0.24
LOW_PCT, HIGH_PCT = 18.0, 22.0
PLANNED_S = 190.0
KEPT_G_PER_G = 2.0
DONE = (AdviceStep.KEEP, AdviceStep.SETTLED)


@dataclass(frozen=True, slots=True)
class Coffee:
    """What one coffee on one grinder does."""

    extraction_pct: float
    """With everything as it was first set."""
    per_grind_pct: float
    """Of one step of the grinder."""
    ratio: float
    time_share: float = 1.0
    """Of the planned time, at first."""
    per_grind_time: float = 0.06
    chokes_from: float = 99.0
    """Steps finer than at first from which the bed clogs: slower and less even."""


@dataclass(frozen=True, slots=True)
class Cup:
    """What came out."""

    extraction_pct: float
    strength_pct: float
    brew_s: float

    @property
    def tastes(self) -> frozenset[Taste]:
        words = set()
        if self.extraction_pct < LOW_PCT:
            words.add(Taste.SOUR)
        if self.extraction_pct > HIGH_PCT:
            words.add(Taste.BITTER)
        if self.strength_pct <= AIM_PCT - NOTICED_PCT:
            words.add(Taste.THIN)
        if self.strength_pct >= AIM_PCT + NOTICED_PCT:
            words.add(Taste.HEAVY)
        return frozenset(words or {Taste.BALANCED})


@dataclass
class Brewer:
    """Brews, tastes or measures as far as it can, follows the advice, and keeps the book."""

    coffee: Coffee
    tastes: bool = True
    measures: bool = False
    times: bool = True
    compares: bool = True
    """Says where a brew was worse than the one before."""
    place: dict[Variable, float] = field(default_factory=lambda: dict.fromkeys(Variable, 0.0))
    visited: list[tuple[float, ...]] = field(default_factory=list)
    advice: list[Advice] = field(default_factory=list)
    evidence: Evidence | None = None
    cup: Cup | None = None

    def cup_here(self) -> Cup:
        c, at = self.coffee, self.place
        grind = at[Variable.GRIND]
        choked = max(0.0, grind - c.chokes_from)
        ratio = c.ratio + at[Variable.RATIO]
        extraction = (
            c.extraction_pct
            + c.per_grind_pct * (grind - 2.0 * choked)
            + 0.5 * at[Variable.TEMPERATURE]
            + 0.6 * at[Variable.TIME]
            + 0.6 * at[Variable.TURBULENCE]
            + 0.5 * at[Variable.PRESSURE]
            + 0.3 * at[Variable.RATIO]
        )
        time = c.time_share + c.per_grind_time * grind + 0.2 * choked
        time += 0.03 * at[Variable.TIME] + 0.05 * at[Variable.TURBULENCE]
        return Cup(extraction, extraction / (ratio - KEPT_G_PER_G), PLANNED_S * time)

    def brew(self, changed: tuple[Change, ...] | None) -> Advice:
        cup, before = self.cup_here(), self.cup
        worse = before is not None and self.compares and _fault(cup) > _fault(before) + 0.3
        self.evidence = Evidence(
            brew_s=cup.brew_s if self.times else None,
            planned_s=PLANNED_S if self.times else None,
            strength_pct=Measured(cup.strength_pct, 0.01) if self.measures else None,
            extraction_pct=Measured(cup.extraction_pct, 0.2) if self.measures else None,
            tastes=cup.tastes if self.tastes else frozenset(),
            changed=changed,
            worse=worse,
            before=self.evidence,
        )
        self.cup = cup
        self.visited.append(tuple(self.place[variable] for variable in Variable))
        advice = advise(self.evidence)
        if advice.step is AdviceStep.MEASURE:
            # A measurement is made of the cup at hand; no other brew is needed for it.
            assert not self.evidence.extraction_pct
            measured = replace(
                self.evidence,
                strength_pct=Measured(cup.strength_pct, 0.01),
                extraction_pct=Measured(cup.extraction_pct, 0.2),
            )
            self.evidence, advice = measured, advise(measured)
        self.advice.append(advice)
        return advice

    def dial_in(self, most: int) -> int:
        """Brew until the advice is to stop; how many brews that took."""
        advice = self.brew(None)
        while advice.step not in DONE and len(self.visited) < most:
            assert advice.step is AdviceStep.CHANGE, advice.rule.name
            assert advice.change is not None
            changed = tuple(one for one in (advice.back, advice.change) if one is not None)
            for one in changed:
                self.place[one.move.variable] += one.along
            advice = self.brew(changed)
        return len(self.visited)


def _fault(cup: Cup) -> float:
    """How bad it is, as a taster would have it: percent of extraction off, and strength."""
    off_extraction = max(LOW_PCT - cup.extraction_pct, cup.extraction_pct - HIGH_PCT, 0.0)
    off_strength = max(abs(cup.strength_pct - AIM_PCT) - NOTICED_PCT, 0.0)
    return off_extraction + 10.0 * off_strength


def moves(brewer: Brewer) -> list[str]:
    """What was advised, in words, for a failing test."""
    return [
        f"{advice.rule.name}: "
        + " and ".join(one.name for one in (advice.back, advice.change) if one is not None)
        for advice in brewer.advice
    ]
