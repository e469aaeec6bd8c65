"""Water that came while nothing could be seen: how much is known, when is not."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refining import LEAST_POUR_G

# Where no flow was seen that it could be reckoned with (common practice).
USUAL_FLOW_GPS = 5.5
# A hand that presses has let go this long after what looked like a pour (common practice).
LETS_GO_S = 30.0
# Water that ends so soon after it was hidden ended while it was.
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
    return _refined(pour, start_s, end_s, end_g)


def began_hidden(pour: Pour, hidden: Hidden, flow_gps: GramsPerSecond) -> Pour:
    """A pour that began unseen and was seen to go on: its start is reckoned from its flow."""
    lasted_s = hidden.rose_g / max(flow_gps, 1.0)
    return replace(pour, start_s=max(hidden.from_s, hidden.to_s - lasted_s))


def cut(pour: Pour, end_s: Seconds, end_g: Grams) -> Pour:
    """The part of a pour that was water, where the rest was a hand; how even nobody can say."""
    return _refined(replace(pour, unseen_g=end_g - pour.start_g), pour.start_s, end_s, end_g)


def without_hand(pours: Sequence[Pour], t_s: Seconds, mass_g: Grams, record: Record) -> list[Pour]:
    """Of finished pours those that are left once the weight has come down to ``mass_g`` at ``t_s``:
    what lay above was a hand's, as far back as a hand may have pressed."""
    left = list(pours)
    lower = sum(t_s - (one.end_s or t_s) < LETS_GO_S for one in left)
    while lower and left and mass_g < left[-1].start_g + LEAST_POUR_G:
        left.pop()
        lower -= 1
    last = left[-1] if lower and left else None
    if last is not None and last.end_s and (last.end_g or 0.0) > mass_g + LEAST_POUR_G:
        times, grams = record.between(last.start_s, last.end_s)
        reached = (t_s for t_s, g in zip(times, grams, strict=True) if g > mass_g)
        left[-1] = cut(last, next(reached, last.end_s), mass_g)
    return left


def _refined(pour: Pour, start_s: Seconds, end_s: Seconds, end_g: Grams) -> Pour:
    """All that will ever be known of it."""
    end_s = max(end_s, start_s + 0.1)
    return Pour(
        start_s=start_s,
        start_g=pour.start_g,
        end_s=end_s,
        end_g=end_g,
        mean_flow_gps=(end_g - pour.start_g) / (end_s - start_s),
        unseen_g=pour.unseen_g,
        refined=True,
    )
