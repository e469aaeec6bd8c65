"""Water that came unseen: its mass is known, its time is not."""

from dataclasses import replace
from typing import NamedTuple

from pourcoach.domain.pour import Pour, Unjudged
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

# Where no flow was seen that it could be reckoned with (common practice).
USUAL_FLOW_GPS = 5.5
# Water that ends this soon after it was hidden ended while hidden.
AT_ONCE_S = 0.4


class Hidden(NamedTuple):
    """A stretch in which water came unseen."""

    from_s: Seconds
    to_s: Seconds
    rose_g: Grams
    opens: bool
    """Whether no water ran when it began."""

    def ends_in(self, end_s: Seconds) -> bool:
        """Whether a pour that seems to end here ended in the stretch."""
        return end_s < self.to_s + AT_ONCE_S


def ended_hidden(pour: Pour, hidden: Hidden, end_g: Grams) -> Pour:
    """A pour that ended unseen: its mass is known, its end is reckoned from its flow."""
    from_s, to_s, rose_g, opens = hidden
    if opens:
        half_s = 0.5 * min(rose_g / USUAL_FLOW_GPS, to_s - from_s)
        middle_s = 0.5 * (from_s + to_s)
        start_s, end_s = middle_s - half_s, middle_s + half_s
    else:
        start_s = pour.start_s
        flow_gps = max((end_g - rose_g - pour.start_g) / max(from_s - start_s, 0.5), 1.0)
        end_s = max(from_s, start_s) + min(rose_g / flow_gps, to_s - from_s)
    return reckoned(pour, start_s, end_s, end_g)


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
