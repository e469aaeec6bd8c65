from collections.abc import Callable
from dataclasses import replace
from statistics import fmean

import pytest

from pourcoach.domain.advice import Cue, Word, usual_cue
from pourcoach.domain.plan import Plan, Stage
from pourcoach.simulation.hand.hand import AGAIN_S, PATIENCE_S, TRUST_G, Hand
from pourcoach.simulation.hand.profile import HandProfile
from pourcoach.simulation.ticks import TICK_S

PLAN = Plan(10, 10, 100, 18, 60, (Stage("bloom", 0, 20, 5), Stage("pour 1", 18, 100, 5)))
EXACT = HandProfile(
    flow_share=(1, 1),
    wobble_cv=(0, 0),
    tremor_cv=0,
    circle_cv=0,
    reaction_spread_s=0,
    mark_spread_g=0,
    start_bias_s=0,
    start_spread_s=0,
)
LISTENING = replace(EXACT, listens=True, obedience=1.0)

Coach = Callable[[float, float], Cue | None]
"""What is in force at this moment with this much poured."""


class Poured:
    """What a hand poured, with the water itself in its sight."""

    def __init__(self, profile: HandProfile, coach: Coach | None = None, seed: int = 1) -> None:
        self.hand = Hand(profile, PLAN, [], seed)
        self.flows: list[float] = []
        self.mass_g: list[float] = [0.0]
        for tick in range(round(60 / TICK_S)):
            t_s = tick * TICK_S
            cue = coach(t_s, self.mass_g[-1]) if coach is not None else None
            if cue is not None:
                self.hand.hear(cue, t_s)
            self.flows.append(self.hand.step(t_s, self.mass_g[-1]))
            self.mass_g.append(self.mass_g[-1] + self.flows[-1] * TICK_S)

    def starts_s(self) -> list[float]:
        """Since the first water."""
        return [
            tick * TICK_S - self.hand.first_water_s
            for tick in range(1, len(self.flows))
            if self.flows[tick] > 0 and self.flows[tick - 1] == 0
        ]

    def flow_at(self, brew_s: float) -> float:
        return self.flows[round((self.hand.first_water_s + brew_s) / TICK_S)]


def test_left_alone_it_follows_the_plan() -> None:
    poured = Poured(EXACT)
    assert poured.starts_s() == pytest.approx([0, 18], abs=0.02)
    # It expects to see late, and here it sees at once: it stops that much short of the mark.
    assert poured.mass_g[-1] == pytest.approx(100 - 0.2 * 5, abs=0.4)
    assert poured.flow_at(25) == pytest.approx(5.0)
    assert poured.hand.done


def test_it_ignores_cues_unless_it_listens() -> None:
    stop = Poured(EXACT, lambda t_s, _: usual_cue(Word.STOP, 0.0) if t_s > 3 else None)
    assert stop.mass_g == Poured(EXACT).mass_g


def test_it_stops_a_reaction_after_the_cue() -> None:
    def coach(_: float, mass_g: float) -> Cue | None:
        return usual_cue(Word.STOP, 1.0) if 10 <= mass_g < 15 else None

    profile = replace(LISTENING, ramp_down_s=(0.2, 0.2))
    poured = Poured(profile, coach)
    # 0.25 s of reaction and half of 0.2 s of ramp, at 5 g/s.
    assert poured.mass_g[round(15 / TICK_S)] == pytest.approx(10 + 5 * 0.35, abs=0.1)


def test_without_a_cue_it_stops_and_starts_by_itself_only_after_some_patience() -> None:
    poured = Poured(LISTENING)
    assert poured.starts_s() == pytest.approx([0, 18 + PATIENCE_S], abs=0.02)
    assert poured.mass_g[-1] == pytest.approx(100 - 0.2 * 5 + TRUST_G, abs=0.4)


def test_it_starts_on_cue() -> None:
    poured = Poured(LISTENING, lambda t_s, _: usual_cue(Word.POUR, 17.0) if 17 < t_s < 22 else None)
    [_, second_s] = poured.starts_s()
    assert second_s == pytest.approx(17.25 - poured.hand.first_water_s, abs=0.02)


@pytest.mark.parametrize(
    ("word", "shares"), [(Word.SLOW, (0.85, 0.75)), (Word.MORE, (1.15, 1.3225))]
)
def test_it_changes_its_flow_again_while_the_word_stands(
    word: Word, shares: tuple[float, float]
) -> None:
    def coach(t_s: float, _: float) -> Cue | None:
        if 20 < t_s < 22:
            return usual_cue(Word.POUR, 20.0)
        return usual_cue(word, 25.0) if 25 < t_s < 25 + AGAIN_S + 0.1 else None

    poured = Poured(LISTENING, coach)
    at = poured.hand.first_water_s
    assert poured.flow_at(25 + AGAIN_S - at) == pytest.approx(5 * shares[0], rel=0.01)
    assert poured.flow_at(25 + AGAIN_S + 1.5 - at) == pytest.approx(5 * shares[1], rel=0.01)


def test_it_takes_care_on_the_cue_to_be_steady() -> None:
    wobbling = replace(LISTENING, wobble_cv=(0.1, 0.1))

    def departure(coach: Coach) -> float:
        flows = Poured(wobbling, coach).flows[round(26 / TICK_S) : round(30 / TICK_S)]
        return fmean((flow - 5.0) ** 2 for flow in flows) ** 0.5

    def left_alone(t_s: float, _: float) -> Cue | None:
        return usual_cue(Word.POUR, 20.0) if 20 < t_s < 22 else None

    def cued(t_s: float, mass_g: float) -> Cue | None:
        return usual_cue(Word.STEADY, 24.0) if 24 < t_s < 25 else left_alone(t_s, mass_g)

    assert departure(cued) == pytest.approx(0.7 * departure(left_alone), rel=1e-6)


def test_on_the_cue_more_after_it_stopped_it_pours_on() -> None:
    def coach(_: float, mass_g: float) -> Cue | None:
        if 10 <= mass_g < 13:
            return usual_cue(Word.STOP, 1.0) if mass_g < 11.9 else usual_cue(Word.MORE, 2.0)
        return None

    poured = Poured(replace(LISTENING, ramp_down_s=(0.3, 0.3)), coach)
    assert len(poured.starts_s()) == 3
    assert poured.mass_g[-1] == pytest.approx(100, abs=5)


def test_it_misses_some_words() -> None:
    def stopped(seed: int) -> bool:
        profile = replace(LISTENING, obedience=0.7)
        poured = Poured(
            profile, lambda t_s, _: usual_cue(Word.STOP, 5.5) if t_s > 5.5 else None, seed
        )
        return poured.mass_g[round(15 / TICK_S)] < 19

    assert fmean(stopped(seed) for seed in range(40)) == pytest.approx(0.7, abs=0.2)


def test_reactions_vary_about_their_mean() -> None:
    hand = Hand(HandProfile(reaction_s=0.3, reaction_spread_s=0.06), PLAN, [], 1)
    drawn = [hand._reaction_s() for _ in range(2000)]
    assert fmean(drawn) == pytest.approx(0.3, abs=0.01)
    assert min(drawn) >= 0.1
