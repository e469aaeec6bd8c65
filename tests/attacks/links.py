"""Live brews whose cable is pulled or whose link drops, at any moment, for any while."""

import asyncio
import random
import tempfile
from collections.abc import Awaitable, Callable, Iterator
from pathlib import Path

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Link, Reading
from pourcoach.recordings.fold import frames
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter
from pourcoach.scales.cable.serial_port import SerialConnector
from pourcoach.scales.dialect import line_dialect
from pourcoach.scales.link.supervised import SupervisedScale
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from pourcoach.wire.description import SerialLine
from tests.attacks.tally import Tally
from tests.scales.fake_serial import FakeSerialScale
from tests.scales.listener import QUICK
from tests.wire.scale_lines import encode_checked

SMALL = 4
AT_ONCE = 4
RATE_HZ = 20.0
FLOW_GPS = 6.0
POUR_S = (0.8, 3.3)
LASTS_S = 4.6
SETTLED_S = 2.0
PATIENCE_S = 30.0
WATER_G = FLOW_GPS * (POUR_S[1] - POUR_S[0])


def attack(seed: int, size: int) -> Iterator[Tally]:
    """Pulled cables on a pseudo-terminal, dropped connections on a socket."""
    yield from asyncio.run(_attack(seed, SMALL * size))


async def _attack(seed: int, count: int) -> list[Tally]:
    kinds = (("unplugs (pty)", _unplugged), ("drops (socket)", _dropped))
    return await asyncio.gather(*(_tallied(seed, count, *kind) for kind in kinds))


async def _tallied(seed: int, count: int, name: str, brew: "_Brew") -> Tally:
    tally = Tally(name)
    chance = random.Random(f"{seed} {name}")
    places = asyncio.Semaphore(AT_ONCE)

    async def one(at_s: float, for_s: float) -> str | None:
        async with places:
            with tempfile.TemporaryDirectory() as folder:
                return await brew(Path(folder), at_s, for_s)

    tries = [one(chance.uniform(0.2, 3.6), chance.uniform(0.1, 0.9)) for _ in range(count)]
    for failure in await asyncio.gather(*tries, return_exceptions=True):
        tally.tried(None if failure is None else str(failure))
    return tally


_Brew = Callable[[Path, float, float], Awaitable[str | None]]


async def _unplugged(folder: Path, at_s: float, for_s: float) -> str | None:
    peer = FakeSerialScale(folder / "port")
    peer.plug()

    def away(gone: bool) -> None:
        peer.unplug() if gone else peer.plug()

    try:
        return await _brewed(str(folder / "port"), folder, at_s, for_s, peer.send, away)
    finally:
        peer.unplug()


async def _dropped(folder: Path, at_s: float, for_s: float) -> str | None:
    """The scale's end of a socket; away, it refuses connections, too."""
    writers: list[asyncio.StreamWriter] = []
    refusing = False

    async def connected(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        if refusing:
            writer.close()
        else:
            writers.append(writer)

    def send(data: bytes) -> None:
        for writer in writers:
            if not writer.is_closing():
                writer.write(data)

    def away(gone: bool) -> None:
        nonlocal refusing
        refusing = gone
        if gone:
            for writer in writers:
                writer.transport.abort()
            writers.clear()

    server = await asyncio.start_server(connected, "127.0.0.1", 0)
    host, port = server.sockets[0].getsockname()[:2]
    try:
        target = f"socket://{host}:{port}"
        return await _brewed(target, folder, at_s, for_s, send, away)
    finally:
        away(True)
        server.close()


def _has_reading_after(path: Path, t_s: float) -> bool:
    if not path.exists():
        return False
    newest = [item for item in read_tape(path).inputs[-20:] if isinstance(item, Reading)]
    return bool(newest) and newest[-1].t_s > t_s


async def _brewed(
    target: str,
    folder: Path,
    at_s: float,
    for_s: float,
    send: Callable[[bytes], None],
    away: Callable[[bool], None],
) -> str | None:
    clock = Clock()
    connector = SerialConnector(target, SerialLine(), line_dialect(), clock.now)
    path = folder / "a.jsonl"
    session = BrewSession(
        SupervisedScale(target, connector, clock.now, QUICK),
        clock,
        tape=TapeWriter(path, TapeHeader(), []),
    )
    live: list[Frame] = []
    running = asyncio.create_task(session.run(live.append))
    session.main()
    sequence, gone = 0, False
    back_s: float | None = None
    """When the first reading came after the outage; a busy machine takes its time."""
    while not running.done() and (now_s := clock.now()) < PATIENCE_S:
        if back_s is None and sequence % 10 == 0 and _has_reading_after(path, at_s + for_s):
            back_s = now_s
        if back_s is not None and now_s > max(LASTS_S, back_s + SETTLED_S):
            break
        if (at_s <= now_s < at_s + for_s) != gone:
            gone = not gone
            away(gone)
        if not gone:
            poured_s = min(max(now_s, POUR_S[0]), POUR_S[1]) - POUR_S[0]
            send(encode_checked(sequence, round(now_s * 1000), round(FLOW_GPS * poured_s, 1)))
        sequence += 1
        await asyncio.sleep(1 / RATE_HZ)
    ended = running.done()
    session.stop()
    async with asyncio.timeout(20):
        last = await running
    what = f"away at {at_s:.3f} s for {for_s:.3f} s"
    if ended or last is None:
        return f"{what}: the session ended by itself"
    tape = read_tape(path)
    if tape.problem is not None or tape.end_s is None:
        return f"{what}: the tape is broken: {tape.problem}"
    if list(frames(tape)) != live:
        return f"{what}: live is not replay"
    readings = [item for item in tape.inputs if isinstance(item, Reading)]
    links = [item.up for item in tape.inputs if isinstance(item, Link)]
    if readings[-1].t_s < at_s + for_s:
        return f"{what}: no reading came after it"
    if False in links and True not in links[links.index(False) :]:
        return f"{what}: the loss was reported and its end was not"
    if abs(last.pour.water_g - WATER_G) > 3.0:
        return f"{what}: {last.pour.water_g:.1f} g of {WATER_G:g} g"
    return None
