"""Many stations through a broker to one wall, the broker killed and started again in the middle.

Run: ``python -m tests.benchmarks.classroom.broker [STATIONS [SECONDS]]``, 200 for thirty seconds by
default; needs mosquitto. The stations are in two processes of their own, ten tiles a second each
and one recording of some 250 kB each; the wall is this process. CPU against one core; memory is the
most it held. "tile" is from the moment a tile was made until the wall has it.
"""

import asyncio
import json
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from pourcoach.domain.advice import FlagKind, Word
from pourcoach.domain.pour import Phase
from pourcoach.sharing.heard import Heard
from pourcoach.sharing.listener import Listener
from pourcoach.sharing.outbox import Outbox
from pourcoach.sharing.room import Room
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sharing.sharer import Sharer
from pourcoach.sharing.tape_parts import pack
from pourcoach.sharing.tile import TileFinding, tile_of
from tests.sharing.mosquitto import FOUND, Mosquitto
from tests.tui.made_frames import make_frame

PROCESSES = 2
READINGS = 14_400  # three minutes at 80 Hz


class Brew:
    """A brew whose weight is another at each look."""

    def __init__(self, name: str) -> None:
        self.name, self.looks = name, 0

    def look(self) -> SeenStation:
        self.looks += 1
        frame = make_frame(20.0, Word.POUR, self.looks / 10, phase=Phase.POURING)
        at = datetime.now(UTC).isoformat(timespec="microseconds")
        tile = tile_of(frame, 20.0, station=self.name, at=at, run="a", number=self.looks)
        return SeenStation(self.name, TileAge.LIVE, tile, 0.0)

    def findings(self) -> list[tuple[tuple[FlagKind, str | None], TileFinding]]:
        return []


BODY = "".join(f"[{n / 80:.4f}, {(n * 31 % 977) / 10:.1f}]\n" for n in range(READINGS))


def make_tape(path: Path, station: int) -> None:
    """Another one for each station, by its header."""
    header = {"pourcoach": 1, "recorded_at": f"2026-01-15T09:{station % 60:02}:00+00:00"}
    header |= {"plan": None, "scale": {"address": f"sim:{station}"}}
    path.write_text(json.dumps(header) + "\n" + BODY + '{"end": 180.0}\n')


async def share(address: str, folder: Path, first: int, count: int) -> None:
    """``count`` stations, each with one recording to send, until standard input ends."""
    room = Room.parse(address)
    sharers = []
    for number in range(first, first + count):
        tape = folder / f"{number}.jsonl"
        make_tape(tape, number)
        brew = Brew(str(number))
        sharer = Sharer(room, brew.name, brew, Outbox(folder / f"outbox-{number}", room), "a")
        sharer.send(tape, name=True)
        sharers.append(sharer)
    asyncio.get_running_loop().set_exception_handler(lambda _loop, _context: None)
    tasks = [asyncio.create_task(sharer.run()) for sharer in sharers]
    await asyncio.to_thread(sys.stdin.read)
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)
    waiting = sum(sharer.waiting for sharer in sharers)
    left_out = sum(sharer.left_out for sharer in sharers)
    print(sum(sharer.sent for sharer in sharers), left_out, waiting)


class TimedHeard(Heard):
    """Notes how old each tile was when it came."""

    def __init__(self) -> None:
        super().__init__()
        self.ages_s: list[float] = []

    def take(
        self, station: str, kind: str, payload: bytes, now_s: float, *, kept: bool = False
    ) -> None:
        super().take(station, kind, payload, now_s, kept=kept)
        tile = self._stations[station].tile if station in self._stations else None
        if kind == "tile" and not kept and tile is not None:
            made = datetime.fromisoformat(tile.at).timestamp()
            self.ages_s.append(time.time() - made)


def measure(stations: int, seconds: float) -> None:
    landed: dict[str, list[bytes]] = {}

    def land(_station: str, hash_: str, content: bytes) -> None:
        landed.setdefault(hash_, []).append(content)

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        broker = Mosquitto(folder)
        broker.start()
        wall = Listener(Room.parse(broker.address()), land, lambda hash_: hash_ in landed)
        heard = wall.heard = TimedHeard()
        each = stations // PROCESSES
        with wall:
            argv = [sys.executable, "-m", "tests.benchmarks.classroom.broker", "--share"]
            senders = [
                subprocess.Popen(
                    [*argv, broker.address(), str(folder), str(1 + n * each), str(each)],
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    text=True,
                )
                for n in range(PROCESSES)
            ]
            while not heard.taken:
                time.sleep(0.1)
            began, used = time.perf_counter(), time.process_time()
            time.sleep(seconds / 2)
            half = len(landed)
            broker.kill()
            time.sleep(1.0)
            broker.start()
            time.sleep(seconds / 2)
            lasted_s, used_s = time.perf_counter() - began, time.process_time() - used
            tiles, ages = len(heard.ages_s), list(heard.ages_s)
            until = time.monotonic() + 60.0
            while len(landed) < stations and time.monotonic() < until:
                time.sleep(0.1)
            late_s = time.perf_counter() - began - lasted_s
            outcome = [sender.communicate()[0].split() for sender in senders]
        broker.kill()
        whole = sum(
            pack(folder / f"{n}.jsonl", name=True).hash in landed for n in range(1, stations + 1)
        )
    twice = sum(len(copies) - 1 for copies in landed.values())
    held_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    sent, left_out = (sum(int(line[n]) for line in outcome) for n in (0, 1))
    print(
        f"{stations} stations, {lasted_s:.0f} s, the broker away for one of them\n"
        f"tiles to the wall   {tiles / lasted_s:.0f} a second (sent {sent}, left out {left_out})\n"
        f"made to tile        median {1000 * statistics.median(ages):.0f} ms, "
        f"p95 {1000 * statistics.quantiles(ages, n=20)[-1]:.0f} ms\n"
        f"the wall's process  CPU {used_s / lasted_s:.0%}, memory {held_mb:.0f} MB\n"
        f"recordings          {whole} of {stations} whole ({half} before the broker was killed, "
        f"the last {late_s:.1f} s after the time), {twice} twice, "
        f"{heard.refused.total()} messages refused"
    )


def main() -> None:
    if sys.argv[1:2] == ["--share"]:
        asyncio.run(share(sys.argv[2], Path(sys.argv[3]), int(sys.argv[4]), int(sys.argv[5])))
        return
    if FOUND is None:
        sys.exit("there is no mosquitto on this machine")
    stations = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    measure(stations, float(sys.argv[2]) if len(sys.argv) > 2 else 30.0)


if __name__ == "__main__":
    main()
