"""A board that the test moves."""

from dataclasses import dataclass, field
from typing import Any

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.sharing.seen import SeenStation, TileAge, plan_line
from pourcoach.sharing.tile import tile_of
from tests.tui.made_frames import make_frame


def pouring(
    name: str = "1", grams: float = 97.3, word: Word = Word.POUR, **more: Any
) -> SeenStation:
    waits = word is Word.WAIT
    frame = make_frame(
        4.0 + grams / 5.0,
        word,
        grams,
        phase=Phase.WAITING if waits else Phase.POURING,
        flow_gps=5.0,
        countdown_s=15.0 if waits else None,
    )
    tile = tile_of(frame, frame.t_s, station=name, at="", **more)
    return SeenStation(name, TileAge.LIVE, tile, 0.1, plan_line=plan_line(frame))


@dataclass
class FakeBoard:
    stations: list[SeenStation] = field(default_factory=lambda: [pouring()])
    notice: str | None = None

    def seen(self) -> list[SeenStation]:
        return self.stations
