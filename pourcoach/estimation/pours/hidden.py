"""Water that came unseen: its mass is known, its time is not."""

from dataclasses import replace
from typing import NamedTuple

from pourcoach.domain.pour import Pour, Unjudged
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

# Where no flow was seen that it could be reckoned with (common practice).
USUAL_FLOW_GPS = 5.5
# Water that ends this soon after it was hidden ended while hidden.
AT_ONCE_S = 0.4
# Water that goes on this soon after an end had not stopped.
REJOIN_S = 0.5
# Water that ran before a stretch and after it stopped in between where even this share of its flow
# would have brought as much in a time shorter by this (assumed: hands pour more evenly).
LEAST_SHARE = 0.75
LEAST_PAUSE_S = 2.0


class Hidden(NamedTuple):
    """A stretch in which water came unseen."""

    from_s: Seconds
    to_s: Seconds
    from_g: Grams
    """The weight before."""
    rose_g: Grams
    opens: bool
    """Whether no water ran when it began."""

    def ends_in(self, end_s: Seconds) -> bool:
        """Whether a pour that seems to end here ended in the stretch."""
        return end_s < self.to_s + AT_ONCE_S

    def pauses(self, flow_gps: GramsPerSecond) -> bool:
        """Whether water that ran before at this flow, and runs again, has stopped in the stretch:
        it brought too little to have gone on."""
        ran_s = self.rose_g / max(LEAST_SHARE * flow_gps, 1.0)
        return self.to_s - self.from_s - ran_s > LEAST_PAUSE_S

    def follows(self, last: Pour) -> bool:
        """Whether the water is still that of the last pour, which seemed to have just ended."""
        just = last.end_s is not None and self.from_s - last.end_s < REJOIN_S
        return just and not self.pauses(last.mean_flow_gps or 0.0)

    def outlasted_at(self, t_s: Seconds) -> bool:
        """Whether a pour that was open before, and is open then, did not end in the stretch."""
        return not self.opens and t_s >= self.to_s + 2.0 * AT_ONCE_S


def flow_before(pour: Pour, from_s: Seconds, from_g: Grams) -> GramsPerSecond:
    """Mean flow of a pour until it was hidden."""
    return (from_g - pour.start_g) / max(from_s - pour.start_s, 0.5)


def ended_hidden(pour: Pour, hidden: Hidden, end_g: Grams) -> Pour:
    """A pour that ended unseen: its mass is known, its end is reckoned from its flow."""
    from_s, to_s, _, rose_g, opens = hidden
    if opens:
        half_s = 0.5 * min(rose_g / USUAL_FLOW_GPS, to_s - from_s)
        middle_s = 0.5 * (from_s + to_s)
        start_s, end_s = middle_s - half_s, middle_s + half_s
    else:
        start_s = pour.start_s
        flow_gps = max(flow_before(pour, from_s, end_g - rose_g), 1.0)
        end_s = max(from_s, start_s) + min(rose_g / flow_gps, to_s - from_s)
    return reckoned(pour, start_s, end_s, end_g)


def parted(
    pour: Pour, hidden: Hidden, t_s: Seconds, mass_g: Grams
) -> tuple[Pour, Pour, Hidden] | None:
    """The pour that ended in the stretch, and the one that began in it and is open at ``t_s``; each
    has half of what came unseen. None if it went on all through."""
    flow_gps = flow_before(pour, hidden.from_s, hidden.from_g)
    if not hidden.pauses(flow_gps):
        return None
    half_g = 0.5 * hidden.rose_g
    middle_g = hidden.from_g + half_g
    first = replace(pour, unseen_g=pour.unseen_g - half_g)
    ended = ended_hidden(first, hidden._replace(rose_g=half_g), middle_g)
    begun = hidden._replace(rose_g=half_g, opens=True)
    pour = Pour(start_s=hidden.to_s, start_g=middle_g, unseen_g=half_g)
    seen_gps = (mass_g - middle_g - half_g) / (t_s - hidden.to_s)
    return ended, began_hidden(pour, begun, seen_gps), begun


def began_hidden(pour: Pour, hidden: Hidden, flow_gps: GramsPerSecond) -> Pour:
    """A pour that began unseen and was seen to go on: its start is reckoned from its flow."""
    lasted_s = hidden.rose_g / max(flow_gps, 1.0)
    return replace(pour, start_s=max(hidden.from_s, hidden.to_s - lasted_s))


def reckoned(pour: Pour, start_s: Seconds, end_s: Seconds, end_g: Grams) -> Pour:
    """Return the pour with its mass and reckoned times: how even it was cannot be known."""
    end_s = max(end_s, start_s + 0.1)
    return Pour(
        start_s=start_s,
        start_g=pour.start_g,
        end_s=end_s,
        end_g=end_g,
        mean_flow_gps=(end_g - pour.start_g) / (end_s - start_s),
        unjudged=Unjudged.HIDDEN,
        unseen_g=pour.unseen_g,
        refined=True,
    )
