"""A drill: one thing to practise, as data."""

import re
from dataclasses import dataclass

from pourcoach.domain.brew_clock import clock
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.practice.drill.measure import Asked, Judged
from pourcoach.practice.schedule import USUAL, Schedule

FULL_SHARE = 0.9
"""Of the server: STOP comes there. A tenth is left for a reaction and the stream in the air."""
ROUND_TO_G: Grams = 5.0
"""Marks are drawn in round figures: a scale's display is read and remembered so."""
# A plan needs a dose; no coffee is used. A usual ratio keeps the plan's other figures plausible.
_RATIO = 16.0
# No bed drains in a server without one: a drill is over when its last pour is.
_DRAIN_S: Seconds = 5.0


@dataclass(frozen=True, slots=True)
class DrillPour:
    """One pour that a drill asks for."""

    mass_g: Grams
    flow_gps: GramsPerSecond
    after_s: Seconds = 0.0
    """Rest before it. 0 for one that follows in the same stream."""
    name: str = ""

    @property
    def lasts_s(self) -> Seconds:
        """At its flow."""
        return self.mass_g / self.flow_gps


@dataclass(frozen=True, slots=True)
class Drill:
    """Masses are those at factor 1; a pour that is varied has its masses multiplied."""

    name: str
    title: str
    task: str
    """One sentence; ``{mark}`` stands for all the water, ``{mass1}``, ``{to1}``, ``{flow1}``,
    ``{lasts1}``, ``{rest1}``, ``{start1}`` for figures of the first pour, and so on."""
    pours: tuple[DrillPour, ...]
    judged: tuple[Judged, ...]
    """The first is the one whose bias and spread are reported."""
    asks: Asked
    server_ml: float
    """What the server must hold; STOP comes at FULL_SHARE of it, whatever the mode."""
    clock: bool = True
    """Whether the time since the first water is shown, as by a kitchen timer."""
    dark: bool = False
    """Whether the screen stays dark while the water runs."""
    factors: tuple[float, ...] = (1.0,)
    """One is drawn for each pour."""
    transfer_factors: tuple[float, ...] = (0.75, 1.25)
    """The same, for the transfer test: none of ``factors``."""
    schedule: Schedule = USUAL
    needs: str = ""

    def pours_at(self, factor: float) -> tuple[DrillPour, ...]:
        """The pours with their masses varied, in round figures."""
        return tuple(
            DrillPour(_round_g(pour.mass_g * factor), pour.flow_gps, pour.after_s, pour.name)
            for pour in self.pours
        )

    def plan_at(self, factor: float) -> Plan:
        """The plan that a live curve follows and a recording is judged by."""
        stages: list[Stage] = []
        start_s = to_g = 0.0
        for number, pour in enumerate(self.pours_at(factor), 1):
            start_s += pour.after_s if stages else 0.0
            to_g += pour.mass_g
            stages.append(Stage(pour.name or f"pour {number}", start_s, to_g, pour.flow_gps))
            start_s += pour.lasts_s
        bloom_s = stages[1].start_s if len(stages) > 1 else start_s
        return Plan(
            dose_g=to_g / _RATIO,
            ratio=_RATIO,
            water_g=to_g,
            bloom_s=bloom_s,
            finish_s=start_s + _DRAIN_S,
            stages=tuple(stages),
        )

    def task_at(self, factor: float) -> str:
        """The task in one sentence, with its figures. Raises UsageError for a name of no figure."""
        figures = self._figures(factor)

        def figure(found: re.Match[str]) -> str:
            if found[1] not in figures:
                raise UsageError(
                    f"the task has {found[0]}", "it may have " + ", ".join(sorted(figures))
                )
            return figures[found[1]]

        return re.sub(r"\{(\w*)\}", figure, self.task)

    def _figures(self, factor: float) -> dict[str, str]:
        plan = self.plan_at(factor)
        figures = {"mark": f"{plan.water_g:g} g"}
        for number, (pour, stage) in enumerate(
            zip(self.pours_at(factor), plan.stages, strict=True), 1
        ):
            figures[f"mass{number}"] = f"{pour.mass_g:g} g"
            figures[f"to{number}"] = f"{stage.to_g:g} g"
            figures[f"flow{number}"] = f"{pour.flow_gps:g} g/s"
            figures[f"lasts{number}"] = f"{pour.lasts_s:.0f} s"
            figures[f"rest{number}"] = f"{pour.after_s:.0f} s"
            figures[f"start{number}"] = clock(round(stage.start_s))
        return figures

    @property
    def most_g(self) -> Grams:
        """The most water that any of its pours asks for."""
        return max(
            sum(pour.mass_g for pour in self.pours_at(factor))
            for factor in (*self.factors, *self.transfer_factors)
        )


def _round_g(mass_g: Grams) -> Grams:
    return max(ROUND_TO_G, round(mass_g / ROUND_TO_G) * ROUND_TO_G)
