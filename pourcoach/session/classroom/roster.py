"""Who is at which station, and what is brewed there."""

from collections.abc import Callable
from dataclasses import dataclass

from pourcoach import wall_clock
from pourcoach.domain.errors import UsageError
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.printable import LONGEST_NAME, printable
from pourcoach.scales.known.names import scale_address
from pourcoach.session.classroom.station import Station
from pourcoach.session.live import live_brew
from pourcoach.session.settings import Settings

MOST_STATIONS = 64
"""On one machine: more serial ports or radios than it takes."""


@dataclass(frozen=True, slots=True)
class StationRequest:
    """One station as it was asked for."""

    name: str
    address: str
    person: str | None = None
    plan: Plan | None = None
    """None brews the class's plan."""
    group: str | None = None

    @classmethod
    def parse(cls, text: str) -> "StationRequest":
        """``NAME=ADDRESS``. Raises UsageError for anything else."""
        name, sign, address = text.partition("=")
        # An address may hold a sign of equality, a name does not.
        if not sign or not name.strip() or not address.strip() or len(name) > LONGEST_NAME:
            raise UsageError(f"{text!r} is no station", "write NAME=ADDRESS, as 1=sim:steady")
        return cls(printable(name.strip()), address.strip())


def seated(
    places: list[StationRequest],
    plan: Plan,
    settings: Settings,
    *,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
    on_frame: Callable[[Station, Frame], None] | None = None,
    on_over: Callable[[Station], None] | None = None,
) -> list[Station]:
    """A station for each place. No scale is opened yet.

    Raises UsageError for an address that means nothing, for one scale at two places, and for more
    stations than a machine takes.
    """
    if len(places) > MOST_STATIONS:
        raise UsageError(f"{len(places)} stations are too many", f"give up to {MOST_STATIONS}")
    taken: dict[str, str] = {}
    for place in places:
        address = scale_address(place.address)
        other = taken.setdefault(f"{address.kind}:{address.target}", place.name)
        if address.live and other != place.name:
            raise UsageError(
                f"stations {other!r} and {place.name!r} are on one scale, {place.address}",
                "give each a scale of its own",
            )

    def station(place: StationRequest) -> Station:
        return Station(
            place.name,
            lambda: live_brew(
                place.address,
                place.plan or plan,
                settings,
                arrangement=arrangement,
                by=place.person,
                began=wall_clock.now(),
            ),
            person=place.person,
            group=place.group,
            on_frame=on_frame,
            on_over=on_over,
        )

    return [station(place) for place in places]
