"""Real pyserial over pseudo-terminals: what a scale sends and what it is sent both arrive."""

import asyncio
import sys
from pathlib import Path

import pytest

from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.cable.serial_port import SerialConnector
from pourcoach.scales.dialect import line_dialect
from pourcoach.scales.known.calibrations import keep_calibration
from pourcoach.scales.open import open_scale
from pourcoach.weighing.calibration.calibration import Calibration
from pourcoach.wire.description import SerialLine
from tests.scales.fake_serial import FakeSerialScale
from tests.scales.listener import listening, now
from tests.scales.over_cable import supervised
from tests.wire.scale_lines import encode_checked, encode_counts

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are POSIX only")


async def test_odd_chunks_and_rubbish_before_and_between(fake_scale: FakeSerialScale) -> None:
    lines = [encode_checked(n, n * 12, n / 4) for n in range(40)]
    data = b"\xff\x00rst 12:3\xfe\r\n" + b"".join(lines[:20]) + b"\x80\x81\n" + b"".join(lines[20:])
    async with listening(open_scale(f"serial:{fake_scale.link}", now)) as heard:
        for begin in range(0, len(data), 7):
            fake_scale.send(data[begin : begin + 7])
            await asyncio.sleep(0.001)
        await heard.until(lambda heard: len(heard.grams) == 40)
    assert heard.grams == [n / 4 for n in range(40)]
    assert heard.links == []


async def test_readings_are_stamped_with_their_arrival(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        before_s = now()
        fake_scale.send(encode_checked(0, 0, 1.0))
        await heard.until(lambda heard: len(heard.grams) == 1)
        assert before_s < heard.items[0].t_s < now()


async def test_tare_is_written(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        fake_scale.send(encode_checked(0, 0, 250.0))
        await heard.until(lambda heard: heard.grams == [250.0])
        taring = asyncio.create_task(heard.scale.tare())
        assert await fake_scale.received(5) == b"tare\n"
        assert await taring is True


@pytest.mark.parametrize(("answers", "tared"), [(True, True), (False, False)])
async def test_a_plain_scale_shows_by_its_readings_whether_it_took_the_tare(
    fake_scale: FakeSerialScale, answers: bool, tared: bool
) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        fake_scale.send(b"-\n250.0\n")
        await heard.until(lambda heard: heard.grams == [250.0])
        taring = asyncio.create_task(heard.scale.tare())
        assert await fake_scale.received(5) == b"tare\n"
        fake_scale.send(b"0.1\n" if answers else b"250.0\n")
        assert await taring is tared


async def test_raw_counts_are_asked_for_and_ended(fake_scale: FakeSerialScale) -> None:
    async with listening(open_scale(f"serial:{fake_scale.link}?counts=on", now)) as heard:
        assert await fake_scale.received(10) == b"counts on\n"
        fake_scale.send(encode_counts(0, 0, [812345]))
        await heard.until(lambda heard: heard.grams == [812345.0])
    assert await fake_scale.received(11) == b"counts off\n"


async def test_a_calibrated_scale_is_asked_for_counts_and_gives_grams(
    fake_scale: FakeSerialScale,
) -> None:
    address = ScaleAddress.parse(f"serial:{fake_scale.link}")
    keep_calibration(address, Calibration(400.0, -5000.0), "2026-01-15T09:30:00+00:00")
    async with listening(open_scale(address, now)) as heard:
        assert await fake_scale.received(10) == b"counts on\n"
        fake_scale.send(encode_checked(0, 0, 77.0) + encode_counts(1, 12, [395_000]))
        await heard.until(lambda heard: len(heard.grams) == 1)
    assert heard.grams == [1000.0]
    (notice,) = heard.links
    assert (notice.up, notice.why) == (
        True,
        "the readings are calibrated here, 400 counts a gram, made 2026-01-15T09:30:00+00:00",
    )


async def test_a_rate_is_asked_for(fake_scale: FakeSerialScale) -> None:
    async with open_scale(f"serial:{fake_scale.link}?rate=80", now):
        assert await fake_scale.received(8) == b"rate 80\n"


async def test_a_described_scale(fake_scale: FakeSerialScale, tmp_path: Path) -> None:
    path = tmp_path / "bench.toml"
    path.write_text(
        'name = "bench"\ntransport = "serial"\nunit = "kg"\n'
        '[line]\npattern = "{skip};{weight}"\n'
        '[commands]\ntare = {text = "T"}\nrate = {5 = {text = "R5"}}\n'
    )
    scale = open_scale(f"serial:{fake_scale.link}?as={path}&rate=5", now)
    async with listening(scale) as heard:
        assert await fake_scale.received(2) == b"R5"
        fake_scale.send(b"-\n1;0.250\n")
        await heard.until(lambda heard: heard.grams == [250.0])
        assert await scale.tare()
        assert await fake_scale.received(1) == b"T"


async def test_a_scale_that_wants_to_be_asked(fake_scale: FakeSerialScale, tmp_path: Path) -> None:
    path = tmp_path / "asked.toml"
    path.write_text(
        'name = "asked"\ntransport = "serial"\n[commands]\npoll = {text = "P"}\npoll_hz = 50\n'
    )
    async with listening(open_scale(f"serial:{fake_scale.link}?as={path}", now)) as heard:
        for n in range(5):
            assert await fake_scale.received(1) == b"P"
            fake_scale.send(b"%d.5 g\n" % n)
        await heard.until(lambda heard: len(heard.grams) == 4)
        tasks = len(asyncio.all_tasks())
        fake_scale.unplug()
        await heard.until(lambda heard: len(heard.links) == 1)
        assert len(asyncio.all_tasks()) < tasks
    assert heard.grams == [1.5, 2.5, 3.5, 4.5]


async def test_a_network_port_is_not_read_byte_by_byte():
    sent = b"12.3 g\r\n" * 2500

    async def scale(reader, writer):
        # What comes before the port is open is left out by the port.
        await reader.readexactly(2)
        writer.write(sent)
        writer.close()

    server = await asyncio.start_server(scale, "127.0.0.1", 0)
    host, port = server.sockets[0].getsockname()[:2]
    chunks = []
    whole = asyncio.Event()

    def on_bytes(data, _t_s):
        chunks.append(data)
        if sum(map(len, chunks)) >= len(sent):
            whole.set()

    connector = SerialConnector(
        f"socket://{host}:{port}", SerialLine(), line_dialect(), asyncio.get_running_loop().time
    )
    async with server, asyncio.timeout(20), connector.open(on_bytes, lambda _why: None) as port:
        await port.write(b"go")
        await whole.wait()
    assert b"".join(chunks) == sent
    assert len(chunks) < len(sent) / 50
