"""Thirty browsers on one page: how old a Frame is when they have it, and what serving them costs.

Run: ``python -m tests.benchmarks.classroom.browsers [BROWSERS [SECONDS]]``, 30 for fifteen seconds
by default. Frames come at 80 Hz; the browsers are web sockets in a process of their own. The weight
on each tile is the moment its Frame was made, so that the other process knows its age. CPU is the
server's, against one core.
"""

import asyncio
import json
import statistics
import subprocess
import sys
import time

import aiohttp

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.page.address import PageAddress
from pourcoach.page.server import PageServer
from pourcoach.sharing.seen import SeenStation, TileAge, plan_line
from pourcoach.sharing.tile import tile_of
from tests.tui.made_frames import make_frame

RATE_HZ = 80


class Brews:
    """Stations whose newest Frame is as old as one at RATE_HZ is when it is looked for."""

    notice = None

    def __init__(self, stations: int) -> None:
        self._names = [str(n) for n in range(1, stations + 1)]
        self._frame = make_frame(20.0, Word.POUR, 100.0, phase=Phase.POURING)

    def seen(self) -> list[SeenStation]:
        made_s = int(time.monotonic() * RATE_HZ) / RATE_HZ
        frame = self._frame._replace(pour=self._frame.pour._replace(water_g=made_s))
        line = plan_line(frame)
        return [
            SeenStation(
                name,
                TileAge.LIVE,
                tile_of(frame, 20.0, station=name, at="", run="a"),
                0.0,
                plan_line=line,
            )
            for name in self._names
        ]


async def browse(url: str, count: int, seconds: float) -> None:
    """As so many browsers; prints messages and ages in ms as JSON."""
    ages_ms: list[float] = []
    size = 0

    async def one(client: aiohttp.ClientSession) -> None:
        nonlocal size, ages_ms
        origin = url.rstrip("/")
        async with client.ws_connect(f"{origin}/ws", headers={"Origin": origin}) as socket:
            await socket.send_str("")
            await socket.receive()
            until = time.monotonic() + seconds
            while time.monotonic() < until:
                message = await socket.receive()
                now_s = time.monotonic()
                size += len(message.data)
                news = json.loads(message.data)["stations"][:1]
                ages_ms += [1000 * (now_s - station["tile"]["weight_g"]) for station in news]

    async with aiohttp.ClientSession() as client:
        await asyncio.gather(*(one(client) for _ in range(count)))
    print(json.dumps({"ages_ms": ages_ms, "bytes": size}))


def measure(stations: int, browsers: int, seconds: float) -> None:
    with PageServer(Brews(stations), PageAddress.parse("0")) as server:
        server.wait_until_up()
        argv = [sys.executable, "-m", "tests.benchmarks.classroom.browsers", "--browse"]
        argv += [server.url, str(browsers), str(seconds)]
        with subprocess.Popen(argv, stdout=subprocess.PIPE, text=True) as client:
            while server.browsers < browsers:
                time.sleep(0.05)
            began, used = time.perf_counter(), time.process_time()
            time.sleep(max(1.0, seconds - 2.0))
            cpu = (time.process_time() - used) / (time.perf_counter() - began)
            outcome = json.loads(client.communicate()[0])
    ages = outcome["ages_ms"]
    median_ms, p95_ms = statistics.median(ages), statistics.quantiles(ages, n=20)[-1]
    print(
        f"{stations:>8}  {browsers:>8}  {len(ages) / browsers / seconds:>10.1f}  "
        f"{median_ms:>6.1f} {p95_ms:>6.1f}  {cpu:>5.0%}  "
        f"{outcome['bytes'] / 1000 / browsers / seconds:>7.1f}"
    )


def main() -> None:
    if sys.argv[1:2] == ["--browse"]:
        asyncio.run(browse(sys.argv[2], int(sys.argv[3]), float(sys.argv[4])))
        return
    browsers = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 15.0
    print("stations  browsers  messages/s     ms    p95    CPU  kB/s each")
    for stations, count in ((1, 1), (1, browsers), (8, browsers)):
        measure(stations, count, seconds)


if __name__ == "__main__":
    main()
