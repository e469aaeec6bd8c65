"""What a wall has heard of each station. Bytes and times in, values out."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import printable
from pourcoach.domain.units import Seconds
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import OLD_S, SeenStation, TileAge
from pourcoach.sharing.tile import Tile, TileFinding, grow
from pourcoach.sharing.tile_reader import (
    OtherVersionError,
    read_finding,
    read_here,
    read_tile,
)

MOST_STATIONS = 500
"""A hostile sender can invent names without end."""
TWICE_WITHIN_S: Seconds = 3.0
"""So long after two runs of one name were heard by turns they are still said to be two."""
MOST_RUNS = 8


@dataclass(slots=True)
class _Station:
    tile: Tile | None = None
    came_s: Seconds | None = None
    """When its newest tile came; None where it was kept by the broker, from nobody knows when."""
    gone: bool = False
    trouble: str | None = None
    finding: TileFinding | None = None
    run: str | None = None
    runs: tuple[str, ...] = ()
    """The last few, and the newest."""
    twice_s: Seconds = float("-inf")
    """When an earlier run was last heard again."""
    curve: StationCurve = field(default_factory=StationCurve)


class Heard:
    """All stations of a room; ``take`` never raises, whatever comes."""

    def __init__(self) -> None:
        self.refused: Counter[str] = Counter()
        """Messages that could not be read, by station."""
        self.taken = 0
        self._stations: dict[str, _Station] = {}

    def take(
        self, station: str, kind: str, payload: bytes, now_s: Seconds, *, kept: bool = False
    ) -> None:
        """One message. ``kept``: the broker had it from before this connection."""
        if station not in self._stations and len(self._stations) >= MOST_STATIONS:
            self.refused[""] += 1
            return
        known = self._stations.get(station) or _Station()
        try:
            match kind:
                case "tile":
                    self._take_tile(known, read_tile(payload), now_s, kept=kept)
                case "finding":
                    known.finding = read_finding(payload)
                case "here":
                    known.gone = _take_here(known, payload)
                case _:
                    return
        except OtherVersionError as error:
            known.trouble = error.what
        except UsageError as error:
            self.refused[station] += 1
            if known.tile is None:
                known.trouble = f"What it sends cannot be read: {printable(str(error), 120)}"
        else:
            self.taken += 1
        self._stations[station] = known

    def _take_tile(self, station: _Station, tile: Tile, now_s: Seconds, *, kept: bool) -> None:
        if not kept:
            station.came_s = now_s
            station.gone = False
            station.trouble = _twice(station, tile.run, now_s)
        station.tile = tile
        grow(station.curve, tile)

    def curve(self, name: str) -> StationCurve | None:
        """What its tiles showed of the brew; None for a station that was never heard."""
        station = self._stations.get(name)
        return None if station is None else station.curve

    def seen(self, now_s: Seconds) -> Sequence[SeenStation]:
        """Every station, by name: numbers by their size."""
        # Copied at once: another thread takes messages meanwhile.
        names = list(self._stations)
        names.sort(key=_by_number)
        return [_seen(name, self._stations[name], now_s) for name in names]


def _take_here(station: _Station, payload: bytes) -> bool:
    state, run = read_here(payload)
    newest = station.tile
    # The will of a run that another one has followed comes late, and means nothing any more.
    if state == "gone" and newest is not None and run != newest.run:
        return station.gone
    return state == "gone"


def _twice(station: _Station, run: str, now_s: Seconds) -> str | None:
    """Whether another run of this name is heard as well."""
    if run != station.run:
        # One that began anew is another run once and for all; two stations come by turns.
        if run in station.runs:
            station.twice_s = now_s
        station.runs = (*station.runs[-MOST_RUNS:], run)
        station.run = run
    if now_s - station.twice_s > TWICE_WITHIN_S:
        return None
    return "two stations send under this name: give each its own"


def _seen(name: str, station: _Station, now_s: Seconds) -> SeenStation:
    tile = station.tile
    if tile is not None:
        # Known by its topic: what a message calls itself is anybody's.
        tile = replace(tile, station=name, finding=tile.finding or station.finding)
    age_s = None if station.came_s is None else max(0.0, now_s - station.came_s)
    if station.gone:
        standing = TileAge.GONE
    elif tile is None:
        standing = TileAge.WAITING
    elif age_s is None or age_s > OLD_S:
        standing = TileAge.OLD
    else:
        standing = TileAge.LIVE
    return SeenStation(name, standing, tile, age_s, station.trouble)


def _by_number(name: str) -> tuple[int, int, str]:
    number = name.isascii() and name.isdecimal() and len(name) < 10
    return (0, int(name), name) if number else (1, 0, name)
