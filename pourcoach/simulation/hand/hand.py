"""The hand: follows the plan with human delay, reads the weight roughly, may heed cues."""

import math
from collections.abc import Sequence
from random import Random
from typing import TypeVar

from pourcoach.domain.advice import Cue, Word
from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.simulation.faults import (
    BloomWater,
    Landing,
    OrderedFault,
    Stall,
    Start,
    Surge,
    Uneven,
)
from pourcoach.simulation.hand.profile import HandProfile
from pourcoach.simulation.hand.stream import Stream
from pourcoach.simulation.ticks import TICK_S, rng

FIRST_WATER_S = (2.0, 5.0)
"""After the readings begin; one draw a brew."""
SIGHT_S = 0.2
"""The scale's own filter and display, and a glance, before a weight is seen; common practice."""
LEAST_PAUSE_S = 1.5
"""A hand that has just stopped does not pour again sooner by itself."""
LONG_POUR_S = 5.0
"""A stage planned to take this long is long enough to stall or surge in."""
LEAST_REACTION_S = 0.1
"""Nobody reacts sooner: what comes earlier was begun before the signal (from memory)."""
PATIENCE_S = 5.0
"""How long past its own time a listening hand waits for the word to pour."""
TRUST_G = 4.0
"""How far past its own mark a listening hand waits for the word to stop."""
SLOWER, QUICKER = 0.85, 1.15
"""What a hand makes of SLOW and of MORE, as shares of its flow; chosen, no published source."""
SLOWEST, QUICKEST = 0.75, 1.35
"""How far from the planned flow it lets itself be talked: it knows what that looks like."""
CALMER = 0.7
"""Share of its wobble left after STEADY; chosen, no published source."""
AGAIN_S = 1.5
"""How often a hand looks up. A word that asks for a change is followed by another one if it still
stands after this, and one that was missed is seen then: it stands on a lit panel."""
AT_ONCE_S = 4.0
"""A word to pour this soon after stopping is still about the stage just poured."""
ADJUSTING = (Word.SLOW, Word.MORE, Word.STEADY)
STOPPING = (Word.STOP, Word.WAIT, Word.DRAIN, Word.DONE)
STARTING = (Word.BLOOM, Word.POUR, Word.MORE)

Kind = TypeVar("Kind", Uneven, Stall, Surge, Landing, Start)


class Hand:
    """Stage by stage: waits for its time, pours, stops at the mark."""

    def __init__(
        self,
        profile: HandProfile,
        plan: Plan,
        faults: Sequence[OrderedFault],
        seed: int,
    ) -> None:
        """Makes those of the ordered faults that are a hand's to make."""
        self._profile = profile
        self._plan = plan
        self._seed = seed
        habits = rng(seed, "habits")
        self._nerves = rng(seed, "nerves")
        """For reactions and what is missed: their number must not change how the hand wobbles."""
        self.first_water_s = round(habits.uniform(*FIRST_WATER_S) / TICK_S) * TICK_S
        self._faults = [*faults, *self._habitual(habits)]
        self._circle_hz = habits.uniform(*profile.circle_hz)
        self._turn = habits.uniform(0, 2 * math.pi)
        self.stage = 0
        """Index of the stage being poured or waited for; the number of stages when done."""
        self.stream: Stream | None = None
        self._closed_s = 0.0
        self._stop_s: Seconds | None = None
        self._start_s = self.first_water_s
        self._aim_g = 0.0
        self._lead_s = 0.0
        self._last_cue: tuple[Word, Seconds] | None = None
        self._taken_in_s = 0.0
        self._missed = False
        self._heard: list[tuple[Seconds, Word]] = []
        """Words taken in, with when the hand will move on them."""
        self._prepare()

    @property
    def done(self) -> bool:
        """Whether all stages are poured."""
        return self.stage >= len(self._plan.stages)

    def hear(self, cue: Cue, t_s: Seconds) -> None:
        """Take in the cue in force, or miss it; hands that do not listen ignore all."""
        if not self._profile.listens:
            return
        shown = (cue.word, cue.since_s)
        again = self._missed or cue.word in ADJUSTING
        if shown == self._last_cue and not (again and t_s >= self._taken_in_s + AGAIN_S):
            return
        self._last_cue = shown
        self._taken_in_s = t_s
        self._missed = self._nerves.random() >= self._profile.obedience
        if not self._missed:
            self._heard.append((t_s + self._reaction_s(), cue.word))

    def step(self, t_s: Seconds, seen_g: Grams) -> GramsPerSecond:
        """The flow at the spout over the tick that begins at ``t_s``, with this weight in sight."""
        while self._heard and t_s >= self._heard[0][0]:
            self._obey(self._heard.pop(0)[1], t_s)
        if self.stream is None:
            if self.done or t_s < self._start_s:
                return 0.0
            self.stream = self._open(t_s)
        stream = self.stream
        if self._stop_s is None and seen_g + self._lead_s * stream.flow_gps >= self._aim_g:
            self._stop_s = t_s + self._reaction_s()
        if self._stop_s is not None and t_s >= self._stop_s:
            stream.close(t_s)
        if stream.closed(t_s):
            self._finish_stage(t_s)
            return 0.0
        angle = self._turn + 2 * math.pi * self._circle_hz * t_s
        tilt = self._profile.circle_cv * math.sqrt(2) * math.sin(angle)
        return stream.step(t_s, tilt)

    def landing_m(self, t_s: Seconds) -> tuple[float, float]:
        """Where the stream meets the bed, from its middle."""
        angle = self._turn + 2 * math.pi * self._circle_hz * t_s
        radius_m, off_m = self._profile.circle_m, self._profile.circle_off_m
        return off_m + radius_m * math.cos(angle), radius_m * math.sin(angle)

    def _obey(self, word: Word, t_s: Seconds) -> None:
        stream = self.stream
        if stream is None:
            if word in STARTING:
                if self._means_the_last_stage(word, t_s):
                    self.stage -= 1
                    self._prepare()
                self._start_s = t_s
        elif word in STOPPING:
            stream.close(t_s)
        elif word is Word.MORE:
            stream.flow_gps = min(stream.flow_gps * QUICKER, self._planned_gps() * QUICKEST)
        elif word is Word.SLOW:
            stream.flow_gps = max(stream.flow_gps * SLOWER, self._planned_gps() * SLOWEST)
        elif word is Word.STEADY:
            stream.calm *= CALMER

    def _planned_gps(self) -> GramsPerSecond:
        return self._plan.stages[self.stage].flow_gps

    def _means_the_last_stage(self, word: Word, t_s: Seconds) -> bool:
        """Whether a word to pour asks for more of a stage that this hand thought poured."""
        if self.stage == 0:
            return False
        bloom_again = word is Word.BLOOM and self.stage == 1
        at_once = t_s < self._closed_s + AT_ONCE_S
        return self.done or word is Word.MORE or bloom_again or at_once

    def _reaction_s(self) -> Seconds:
        profile = self._profile
        return max(
            self._nerves.gauss(profile.reaction_s, profile.reaction_spread_s), LEAST_REACTION_S
        )

    def _prepare(self) -> None:
        """Settle when and how the next stage will be poured."""
        stage = self._plan.stages[self.stage]
        profile, drawn = self._profile, rng(self._seed, f"aim {self.stage}")
        if self.stage > 0:
            late_s = drawn.gauss(profile.start_bias_s, profile.start_spread_s)
            late_s += math.fsum(fault.off_s for fault in self._ordered(Start))
            if self.stage == 1:
                late_s += profile.bloom_wait_bias_s
            if profile.listens:
                late_s = max(late_s, 0.0) + PATIENCE_S
            planned_s = self.first_water_s + stage.start_s + late_s
            self._start_s = max(planned_s, self._closed_s + LEAST_PAUSE_S)
        aim_g = stage.to_g
        if self.stage == 0:
            off = [fault.off_share for fault in self._faults if isinstance(fault, BloomWater)]
            aim_g *= profile.bloom_share + math.fsum(off)
        else:
            aim_g += profile.mark_bias_g
        aim_g += math.fsum(fault.off_g for fault in self._ordered(Landing))
        if profile.listens:
            aim_g += TRUST_G
        self._aim_g = aim_g + drawn.gauss(0, profile.mark_spread_g)

    def _open(self, t_s: Seconds) -> Stream:
        profile, drawn = self._profile, rng(self._seed, f"pour {self.stage}")
        stage = self._plan.stages[self.stage]
        cv = drawn.uniform(*profile.wobble_cv)
        for fault in self._ordered(Uneven):
            cv = fault.cv
        stream = Stream(
            profile,
            stage.flow_gps * drawn.uniform(*profile.flow_share),
            cv,
            [*self._ordered(Stall), *self._ordered(Surge)],
            t_s,
            stage.to_g - self._plan.stage_from_g(self.stage),
            drawn,
        )
        # A practised hand moves early by what it knows of its own slowness: it sees late, reacts
        # late, and half the water of the way down still comes.
        self._lead_s = SIGHT_S + profile.reaction_s + stream.closing_s / 2
        self._stop_s = None
        return stream

    def _finish_stage(self, t_s: Seconds) -> None:
        self.stream = None
        self._closed_s = t_s
        self.stage += 1
        if not self.done:
            self._prepare()

    def _ordered(self, kind: type[Kind]) -> list[Kind]:
        return [
            fault for fault in self._faults if isinstance(fault, kind) and fault.stage == self.stage
        ]

    def _habitual(self, habits: Random) -> list[Stall | Surge]:
        """The faults this hand makes by habit, in long stages drawn by lot."""
        plan = self._plan
        stages = range(len(plan.stages))
        pour_s = [plan.stage_end_s(index) - plan.stages[index].start_s for index in stages]
        long_stages = [index for index in stages if index and pour_s[index] >= LONG_POUR_S]
        if not long_stages:
            long_stages = [pour_s.index(max(pour_s))]
        made: list[Stall | Surge] = []
        for kind, count in ((Stall, self._profile.stalls), (Surge, self._profile.surges)):
            drawn = habits.sample(long_stages, min(count, len(long_stages)))
            made += [kind(stage, after_share=habits.uniform(0.3, 0.6)) for stage in drawn]
        return made
