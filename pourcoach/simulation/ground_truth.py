"""Sees all that happens and writes it into the truth, faults as the plan's limits define them."""

import math
from statistics import fmean, median

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.simulation.faults import Stall
from pourcoach.simulation.hand.stream import EDGE_S, Interruption, Stream
from pourcoach.simulation.ticks import TICK_S
from pourcoach.simulation.truth import MadeFault, TruePour, Truth

Span = tuple[Seconds, Seconds]


class GroundTruth:
    """Takes every tick in turn."""

    def __init__(self, plan: Plan, truth: Truth) -> None:
        self._plan = plan
        self._limits = plan.limits
        self._truth = truth
        self._run_s: Seconds | None = None
        self._stage = 0
        self._runs: list[TruePour] = []
        """Of the stage under way."""
        self._interrupted: list[Interruption] = []

    def saw(
        self,
        t_s: Seconds,
        spout_gps: GramsPerSecond,
        stage: int,
        stream: Stream | None,
        on_scale_g: Grams,
        drained: bool,
    ) -> None:
        """The tick that began at ``t_s``: its flow, the stage and stream of the hand, and what of
        all water has not gone off as vapour; ``drained`` once nothing more will come or go."""
        truth = self._truth
        if stream is not None:
            self._interrupted = stream.interrupted
            if spout_gps > 0 and self._run_s is None:
                self._run_s = t_s
                if not self._runs:
                    self._stage = stage
                    self._judge_start(t_s)
        if spout_gps <= 0 and self._run_s is not None:
            self._runs.append(self._run(self._run_s, t_s))
            truth.pours.append(self._runs[-1])
            self._run_s = None
        if stream is None and self._runs:
            self._judge_stage(on_scale_g)
            self._runs = []
        if not drained:
            truth.drained_s = None
        elif truth.drained_s is None:
            truth.drained_s = t_s
            self._judge_drawdown(t_s)

    def _run(self, start_s: Seconds, end_s: Seconds) -> TruePour:
        return TruePour(
            self._stage,
            start_s,
            end_s,
            self._truth.poured_g(start_s),
            self._truth.poured_g(end_s),
            self._flow_cv([(start_s, end_s)], []),
        )

    def _flow_cv(self, runs: list[Span], without: list[Span]) -> float | None:
        """Of the flow in these spans, their ramps and the other spans left out; None if short.

        What is short and what is a ramp are the usual limits, so that a plan that judges
        otherwise does not change what is true.
        """
        flows = self._steady(runs, without)
        whole_s = math.fsum(end_s - start_s for start_s, end_s in runs)
        if whole_s < FlagLimits().uneven_from_s or not flows:
            return None
        mean = math.fsum(flows) / len(flows)
        return math.sqrt(math.fsum((flow - mean) ** 2 for flow in flows) / len(flows)) / mean

    def _steady(self, runs: list[Span], without: list[Span]) -> list[GramsPerSecond]:
        """The flow tick by tick between the ramps of these spans, the other spans left out."""
        usual = FlagLimits()
        ticks = (
            tick
            for start_s, end_s in runs
            for tick in range(
                round((start_s + usual.ramp_up_s) / TICK_S),
                round((end_s - usual.ramp_down_s) / TICK_S),
            )
        )
        return [
            self._truth.spout_gps[tick]
            for tick in ticks
            if not any(begin_s <= tick * TICK_S < done_s for begin_s, done_s in without)
        ]

    def _add(self, kind: FlagKind, start_s: Seconds, end_s: Seconds, size: float) -> None:
        self._truth.faults.append(MadeFault(kind, start_s, end_s, self._stage, size))

    def _judge_start(self, t_s: Seconds) -> None:
        """Whether a stage began off its time; the size is in seconds."""
        if self._stage == 0:
            return
        limits = self._limits
        brew_s = t_s - self._truth.first_water_s
        off_s = brew_s - self._plan.stages[self._stage].start_s
        if self._stage == 1:
            if off_s < -limits.bloom_early_s or brew_s < limits.bloom_least_s:
                self._add(FlagKind.BLOOM_SHORT, t_s, t_s, off_s)
            elif off_s > limits.bloom_late_s:
                self._add(FlagKind.BLOOM_LONG, t_s, t_s, off_s)
        elif abs(off_s) > limits.stage_off_s:
            self._add(FlagKind.EARLY if off_s < 0 else FlagKind.LATE, t_s, t_s, off_s)

    def _judge_stage(self, on_scale_g: Grams) -> None:
        start_s, end_s = self._runs[0].start_s, self._runs[-1].end_s
        for one in self._interrupted:
            kind = FlagKind.STALL if isinstance(one.fault, Stall) else FlagKind.SURGE
            self._add(kind, one.start_s, min(one.end_s, end_s), one.fault.share)
        runs = [(run.start_s, run.end_s) for run in self._runs]
        without = [(one.start_s - EDGE_S, one.end_s + EDGE_S) for one in self._interrupted]
        cv = self._flow_cv(runs, without)
        if cv is not None and cv > self._limits.uneven_cv:
            self._add(FlagKind.UNEVEN, start_s, end_s, cv)
        self._judge_pace(runs, without)
        self._judge_landing(start_s, end_s, on_scale_g)

    def _judge_pace(self, runs: list[Span], without: list[Span]) -> None:
        """Whether a stage was poured so fast or so slowly that it left the band; the size is a
        share of the planned flow.
        """
        flows = self._steady(runs, without)
        if not flows:
            return
        stage, limits = self._plan.stages[self._stage], self._limits
        planned_gps = stage.flow_gps
        off_gps = min((median(flows), fmean(flows)), key=lambda flow: abs(flow - planned_gps))
        off_gps -= planned_gps
        off_g = off_gps * math.fsum(end_s - start_s for start_s, end_s in runs)
        band_g = max(limits.landing_g, limits.landing_share * stage.to_g)
        if self._stage == 0 and len(self._plan.stages) > 1:
            band_g = limits.bloom_share * stage.to_g
        if abs(off_gps) > limits.pace_share * stage.flow_gps and abs(off_g) > band_g:
            kind = FlagKind.FAST_POUR if off_gps > 0.0 else FlagKind.SLOW_POUR
            self._add(kind, runs[0][0], runs[-1][1], off_gps / stage.flow_gps)

    def _judge_landing(self, start_s: Seconds, end_s: Seconds, on_scale_g: Grams) -> None:
        """Whether a stage missed its mark, in grams. A bloom off its mass is that and no more."""
        limits = self._limits
        mark_g = self._plan.stages[self._stage].to_g
        off_g = on_scale_g - mark_g
        if self._stage == 0 and len(self._plan.stages) > 1:
            if abs(off_g) > limits.bloom_share * mark_g:
                kind = FlagKind.BLOOM_LIGHT if off_g < 0 else FlagKind.BLOOM_HEAVY
                self._add(kind, start_s, end_s, off_g)
        elif abs(off_g) > max(limits.landing_g, limits.landing_share * mark_g):
            kind = FlagKind.SHORT if off_g < 0 else FlagKind.OVERSHOOT
            self._add(kind, start_s, end_s, off_g)

    def _judge_drawdown(self, t_s: Seconds) -> None:
        """Whether the bed drained late; the size is in seconds past the planned finish."""
        due_s = self._truth.first_water_s + self._plan.finish_s
        if t_s - self._truth.first_water_s > self._plan.finish_s * (1 + self._limits.drain_share):
            self._truth.faults.append(MadeFault(FlagKind.SLOW_DRAIN, due_s, t_s, None, t_s - due_s))
