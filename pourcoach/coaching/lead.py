"""How long before the mark STOP must be said for this brewer, learnt from how stops landed."""

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

LEAST_S: Seconds = 0.05
MOST_S: Seconds = 0.8
"""Bounds: nobody reacts sooner, and a stop later than this was not an answer to the word."""
SHARE = 0.25
"""How far one stop moves the lead: the last four or so count, a single odd one does little."""


def learnt(
    reaction_s: Seconds, off_g: Grams, flow_gps: GramsPerSecond, *, late_most_s: Seconds = 1.0
) -> Seconds:
    """The lead after one more stop.

    ``off_g``: how far beyond the mark it landed, said with ``reaction_s`` as lead; ``flow_gps``:
    the flow when STOP was said. A stop that missed by more than ``late_most_s`` of flow was no
    answer to the word and teaches nothing. A brewer starts afresh with ``USUAL_REACTION_S``.
    """
    if flow_gps <= 0.0 or abs(off_g) > late_most_s * flow_gps:
        return reaction_s
    needed_s = reaction_s + off_g / flow_gps
    return min(MOST_S, max(LEAST_S, reaction_s + SHARE * (needed_s - reaction_s)))
