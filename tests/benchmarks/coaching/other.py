"""Brews of the other generator, judged."""

from dataclasses import dataclass

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline
from tests.coaching.other_pours import other_brew


@dataclass(frozen=True)
class JudgedOther:
    """Kinds ordered and kinds reported in the end."""

    ordered: frozenset[FlagKind]
    reported: tuple[FlagKind, ...]


def judge_other(seed: int) -> JudgedOther:
    """One brew through the pipeline."""
    brew = other_brew(seed)
    pipeline = Pipeline(brew.plan, Setup())
    for reading in brew.readings:
        pipeline.feed(reading)
    frame = pipeline.finish(brew.readings[-1].t_s)
    ordered = frozenset() if brew.ordered is None else frozenset({brew.ordered})
    return JudgedOther(ordered, tuple(flag.kind for flag in frame.flags))
