"""Stages poured at another pace than planned: noted by the measure of the words SLOW and MORE."""

from typing import Any

import pytest

from pourcoach.domain.advice import FlagKind, Word
from pourcoach.domain.plan import Plan
from pourcoach.wording import one_thing_to_fix

Brew = Any


@pytest.mark.parametrize(
    ("flow_gps", "kind", "headline"),
    [
        (7.0, FlagKind.FAST_POUR, "POUR SLOWER"),
        (3.5, FlagKind.SLOW_POUR, "POUR FASTER"),
    ],
)
def test_a_pace_that_the_coach_kept_asking_to_change_leads_the_review(
    brew: Brew, plan: Plan, flow_gps: float, kind: FlagKind, headline: str
) -> None:
    brew.pour_to(40).until(32).pour_to(140, flow_gps).until(85).pour_to(240).rest(3)
    asked = {frame.cue.word for frame in brew.frames}
    assert (Word.SLOW if kind is FlagKind.FAST_POUR else Word.MORE) in asked
    frame = brew.close()
    (flag,) = [flag for flag in frame.flags if flag.kind is kind]
    assert (flag.stage, flag.refined) == ("pour 1", True)
    assert flag.evidence["flow_gps"] == pytest.approx(flow_gps, abs=0.15)
    fix = one_thing_to_fix(frame, plan)
    assert fix is not None
    assert fix.headline == headline


def test_a_slow_hand_that_answers_more_makes_no_surge(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour(2.8, 20.0).pour_to(140, 5.0).rest(5)
    words = [frame.cue.word for frame in brew.frames]
    assert Word.MORE in words
    assert Word.SLOW not in words
    assert FlagKind.SURGE not in brew.kinds
    assert FlagKind.SURGE not in {flag.kind for flag in brew.close().flags}


def test_a_pace_within_the_band_is_no_fault(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140, 5.6).until(72).pour_to(240, 4.5).rest(3)
    assert brew.close().flags == ()


def test_a_wait_that_was_heeded_is_no_stall(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(58).pour(5.0, 2.0).until(72).pour_to(240).rest(3)
    brew.close()
    assert brew.kinds == [FlagKind.EARLY]


def test_strokes_of_two_flows_are_as_fast_as_their_mean(brew: Brew) -> None:
    """The slower of two flows that last a moment longer is the median, and slow ramps lower the
    mean of the whole pour: between its ramps the water runs at 4.2 g/s, within the band."""
    brew.pour_to(40).until(32)
    for share in (0.2, 0.4, 0.6, 0.8):
        brew.pour(share * 5.4, 0.2)
    while brew.mass_g < 132.0:
        brew.pour(5.4, 0.8).pour(3.4, 1.1)
    for share in (0.8, 0.6, 0.4, 0.2):
        brew.pour(share * 3.4, 0.2)
    assert FlagKind.SLOW_POUR not in {flag.kind for flag in brew.rest(3).close().flags}
