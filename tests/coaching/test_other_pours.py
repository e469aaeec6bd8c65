"""Brews that the project's own simulator did not make are judged rightly too."""

import pytest

from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline
from tests.coaching.other_pours import ORDERED, other_brew


@pytest.mark.parametrize("seed", range(len(ORDERED)))
def test_a_fault_on_order_is_the_only_one_flagged(seed: int) -> None:
    brew = other_brew(seed)
    pipeline = Pipeline(brew.plan, Setup())
    for reading in brew.readings:
        pipeline.feed(reading)
    flags = pipeline.finish(brew.readings[-1].t_s).flags
    assert [flag.kind for flag in flags] == ([] if brew.ordered is None else [brew.ordered])
