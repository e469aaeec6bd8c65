"""What browsers are sent: only what has changed, made once for all of them. No I/O, no clock."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from pourcoach.domain.printable import json_text
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import SeenStation
from pourcoach.sharing.tile import grow, tile_dict

VERSION = 1


@dataclass(slots=True)
class _Station:
    text: str = ""
    """Its entry, as JSON, without how old it is."""
    changed: int = 0
    """The look at which it last was another."""
    curve: StationCurve = field(default_factory=StationCurve)


class Looks:
    """Looks at a board; ``since`` gives what is new to whoever saw an earlier one."""

    def __init__(self, *, names: bool = False) -> None:
        """``names``: whether people's names may be seen."""
        self._names = names
        self.number = 0
        """Of the newest look in which anything changed; a browser that saw it has all."""
        self._stations: dict[str, _Station] = {}
        self._notice: str | None = None
        self._order: tuple[str, ...] = ()
        self._whole_since = 0
        """The look since which the order and the notice are what they are."""
        self._made: dict[int, str] = {}

    def take(self, seen: Sequence[SeenStation], notice: str | None) -> bool:
        """The board as it is now; whether anything is another than before."""
        number = self.number + 1
        changed = False
        order = tuple(each.name for each in seen)
        if order != self._order or notice != self._notice:
            self._order, self._notice, self._whole_since = order, notice, number
            for name in self._stations.keys() - set(order):
                del self._stations[name]
            changed = True
        for each in seen:
            station = self._stations.setdefault(each.name, _Station())
            text = json_text(_entry(each, names=self._names))
            if text != station.text:
                station.text, station.changed = text, number
                changed = True
            if each.tile is None:
                station.curve.add(None, None, None)
            else:
                grow(station.curve, each.tile)
        if changed:
            self.number = number
            self._made.clear()
        return changed

    def since(self, number: int) -> str:
        """The message for who saw look ``number``, or nothing yet (0)."""
        made = self._made.get(number)
        if made is None:
            parts = [f'"page": {VERSION}', f'"look": {self.number}']
            if number < self._whole_since:
                parts.append(f'"order": {json_text(self._order)}')
                parts.append(f'"notice": {json_text(self._notice)}')
            known = self._stations
            news = [known[n].text for n in self._order if known[n].changed > number]
            parts.append(f'"stations": [{", ".join(news)}]')
            if number == 0:
                traces = {name: self._stations[name].curve.points for name in self._order}
                parts.append(f'"traces": {json_text(traces)}')
            made = self._made[number] = "{" + ", ".join(parts) + "}"
        return made


def _entry(seen: SeenStation, *, names: bool) -> dict[str, Any]:
    tile = None if seen.tile is None else tile_dict(seen.tile)
    if tile is not None:
        # They change with every look and are shown by no page.
        del tile["at"], tile["number"], tile["run"]
        if not names:
            tile["person"] = None
    return {
        "name": seen.name,
        "standing": seen.standing.value,
        # Whole seconds: what is shown of it.
        "age_s": None if seen.age_s is None or seen.age_s < 1 else int(seen.age_s),
        "trouble": seen.trouble,
        "plan": seen.plan_line,
        "pitch": seen.pitch,
        "tile": tile,
    }
