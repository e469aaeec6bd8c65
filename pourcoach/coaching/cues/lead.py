"""How long before the mark STOP must be said for this brewer, learnt from how stops landed."""

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

LEAST_S: Seconds = 0.05
MOST_S: Seconds = 0.8
"""Bounds: nobody reacts sooner, and a stop later than this was not an answer to the word."""
USUAL_SHARE = 0.2
"""How far one stop moves the lead: the last five or so count, a single odd one does little."""
LATE_S: Seconds = 1.0
"""A stop that missed by more than so much flow was no answer to the word."""


def learnt(
    reaction_s: Seconds, off_g: Grams, flow_gps: GramsPerSecond, share: float = USUAL_SHARE
) -> Seconds:
    """The lead after one more stop, moved by ``share`` of what that stop would have needed.

    ``off_g``: how far beyond the mark it landed, said with ``reaction_s`` as lead; ``flow_gps``:
    the flow when STOP was said. A brewer starts afresh with ``USUAL_REACTION_S``.
    """
    if flow_gps <= 0.0 or abs(off_g) > LATE_S * flow_gps:
        return reaction_s
    needed_s = reaction_s + off_g / flow_gps
    return min(MOST_S, max(LEAST_S, reaction_s + share * (needed_s - reaction_s)))
