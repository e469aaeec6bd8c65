"""Stretches of a pour in which a stall or a surge is neither seen nor ruled out."""

from collections.abc import Sequence

from pourcoach.coaching.flow.hindsight import FlowVerdict
from pourcoach.domain.advice import Flag, FlagKind

MAYBE = 0.5
"""Confidence: the flow may as well have gone on as it was."""
SEEN_BESIDE_S = 0.5
"""What was seen of a stall or a surge on one side of a touch for so long, with what the touch hides
there, is not all the touch's: one that is noticed late began 0.4 s before, and a slow scale's
reading is that of a tenth of a second."""


def unclear_flags(verdict: FlowVerdict, stage: str, found: Sequence[Flag]) -> list[Flag]:
    """Return a disturbance for each such stretch that overlaps none of the flags ``found``."""
    flags: list[Flag] = []
    for start_s, end_s in sorted(verdict.hidden):
        evidence = {"lasted_s": end_s - start_s, "jump_g": 0.0, "unclear_s": end_s - start_s}
        one = Flag(FlagKind.DISTURBED, start_s, end_s, stage, MAYBE, evidence, refined=True)
        if not any(_overlap(one, other) for other in (*found, *flags)):
            flags.append(one)
    return flags


def without_known(flags: Sequence[Flag], platform: Sequence[Flag]) -> list[Flag]:
    """Return the flags without such stretches that a flag of the ``platform`` explains: that covers
    all of it but what a touch usually hides beside itself."""
    return [
        flag
        for flag in flags
        if "unclear_s" not in flag.evidence or not any(_explains(one, flag) for one in platform)
    ]


def _explains(one: Flag, unclear: Flag) -> bool:
    beside_s = max(one.start_s - unclear.start_s, unclear.end_s - one.end_s)
    return _overlap(one, unclear) and beside_s < SEEN_BESIDE_S


def _overlap(one: Flag, other: Flag) -> bool:
    return one.start_s <= other.end_s and other.start_s <= one.end_s
