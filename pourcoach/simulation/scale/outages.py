"""What the way in says of a lost link, as a live scale's supervisor does."""

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from pourcoach.domain.inputs import Link, Reading
from pourcoach.domain.units import Seconds
from pourcoach.simulation.faults import Outage

WHY = "the simulated scale has stopped sending"

Arriving: TypeAlias = Reading | Link


def with_link_states(
    readings: Sequence[Reading], outages: Iterable[Outage], first_water_s: Seconds
) -> list[Arriving]:
    """The readings with the loss of the link and its return among them, in order of time.

    An outage that ends before it is noticed is only a gap. The return is reported just before
    the first reading after it, at its time.
    """
    arrivals: list[Arriving] = list(readings)
    for outage in outages:
        start_s = first_water_s + outage.brew_s
        lost_s = round(start_s + outage.noticed_s, 4)
        back_s = next((r.t_s for r in readings if r.t_s >= start_s + outage.lasts_s), None)
        if back_s is not None and back_s <= lost_s:
            continue
        arrivals.append(Link(lost_s, up=False, why=WHY))
        if back_s is not None:
            arrivals.append(Link(back_s, up=True))
    # At one moment the link comes first.
    return sorted(arrivals, key=lambda one: (one.t_s, isinstance(one, Reading)))
