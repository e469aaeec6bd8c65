"""The tare key before anything was weighed zeroes nothing."""

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.inputs import Link, Reading, Tare
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline
from tests.three_pours import PLAN

BREWER_G = 612.0


def test_a_brewer_that_stood_there_is_no_water() -> None:
    """As while a radio is still being looked for."""
    pipeline = Pipeline(PLAN, Setup())
    pipeline.feed(Link(0.0, up=False, why="looking for the scale"))
    asked = pipeline.feed(Tare(0.5))
    assert asked.key_press is None
    for tenth in range(10, 60):
        frame = pipeline.feed(Reading(tenth / 10, BREWER_G))
    assert (frame.cue.word, frame.pour.armed) == (Word.TARE, False)
    pipeline.feed(Tare(6.0))
    for tenth in range(60, 100):
        frame = pipeline.feed(Reading(tenth / 10, BREWER_G))
    assert (frame.cue.word, frame.pour.armed) == (Word.READY, True)
    assert frame.weight_g == pytest.approx(0.0, abs=0.01)
