"""Every way in which a cable can fail in use is reported and, where it can be, mended."""

import asyncio
import os
import socket
import sys
from contextlib import suppress
from pathlib import Path

import pytest
from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

from tests.scales.fake_serial import FakeSerialScale
from tests.scales.listener import listening
from tests.scales.over_cable import supervised
from tests.wire.scale_lines import encode_checked

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are POSIX only")


async def test_unplugged_in_mid_pour_and_back_under_another_name(
    fake_scale: FakeSerialScale,
) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        fake_scale.send(encode_checked(0, 0, 1.0))
        await heard.until(lambda heard: heard.grams == [1.0])
        fake_scale.unplug()
        await heard.until(lambda heard: len(heard.links) == 1)
        fake_scale.plug()
        for n in range(100):
            fake_scale.send(encode_checked(n, n * 12, 2.0))
            if len(heard.links) == 2:
                break
            await asyncio.sleep(0.02)
    lost, back = heard.links
    assert not lost.up
    assert lost.why == (
        f"the scale on {fake_scale.link} is gone: see that it is plugged in and switched on"
    )
    assert (back.up, back.why) == (True, "")
    assert heard.items.index(back) < len(heard.items) - 1
    assert 2.0 in heard.grams


async def test_a_second_program_that_reads_along_is_survived(fake_scale: FakeSerialScale) -> None:
    """It did not ask for the port alone and takes bytes away: lines are lost, none is wrong."""
    thief = os.open(fake_scale.link, os.O_RDONLY | os.O_NONBLOCK | os.O_NOCTTY)
    try:
        async with listening(supervised(fake_scale.link)) as heard:
            for n in range(2000):
                fake_scale.send(encode_checked(n, n * 12, 5.0))
                if n % 3 == 0:
                    with suppress(BlockingIOError):
                        os.read(thief, 11)
                if len(heard.grams) > 10:
                    break
                await asyncio.sleep(0.002)
    finally:
        os.close(thief)
    assert len(heard.grams) > 10
    assert set(heard.grams) == {5.0}


async def test_a_scale_that_sends_nothing_is_reported_and_waited_for(
    fake_scale: FakeSerialScale,
) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        await heard.until(lambda heard: len(heard.links) == 1)
        for n in range(100):
            fake_scale.send(encode_checked(n, n * 12, 3.0))
            if heard.grams:
                break
            await asyncio.sleep(0.02)
    assert heard.links[0].why == (
        f"the scale on {fake_scale.link} sends nothing: "
        "check that it is switched on, set to send its weight, and its baud rate"
    )
    assert heard.links[1].up
    assert heard.grams


async def test_a_scale_that_sends_no_weights_is_reported(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        fake_scale.send(b"\xf8\x80\xfe\n" * 20)
        await heard.until(lambda heard: len(heard.links) == 1)
    assert heard.links[0].why == (
        f"what the scale on {fake_scale.link} sends is no weight (not text): check its baud rate "
        "and format, or describe it with 'pourcoach scales describe'"
    )


async def test_a_scale_that_stops_sending_is_reported(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        for n in range(5):
            fake_scale.send(encode_checked(n, n * 12, 1.0))
            await asyncio.sleep(0.01)
        await heard.until(lambda heard: len(heard.links) == 1)
    assert "has stopped sending" in heard.links[0].why


async def test_tare_of_a_lost_scale_says_no(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        fake_scale.unplug()
        await heard.until(lambda heard: len(heard.links) == 1)
        assert await heard.scale.tare() is False


async def test_a_network_port_and_its_loss() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.setblocking(False)
        port = server.getsockname()[1]
        async with listening(supervised(f"socket://127.0.0.1:{port}")) as heard:
            peer, _ = await asyncio.get_running_loop().sock_accept(server)
            with peer:
                await asyncio.sleep(0.05)
                peer.sendall(encode_checked(0, 0, 1.0) + encode_checked(1, 12, 2.0))
                await heard.until(lambda heard: heard.grams == [1.0, 2.0])
                taring = asyncio.create_task(heard.scale.tare())
                peer.setblocking(False)
                assert await asyncio.get_running_loop().sock_recv(peer, 9) == b"tare\n"
                assert await taring
            await heard.until(lambda heard: len(heard.links) == 1)
            peer, _ = await asyncio.get_running_loop().sock_accept(server)
            with peer:
                # pyserial throws away what came before its opening was done.
                for n in range(100):
                    peer.sendall(encode_checked(n, n * 12, 3.0))
                    if heard.grams[-1] == 3.0:
                        break
                    await asyncio.sleep(0.01)
    assert [link.up for link in heard.links] == [False, True]
    assert heard.grams[-1] == 3.0


def usb_port(device: str, serial_number: str) -> ListPortInfo:
    port = ListPortInfo(device)
    port.vid, port.pid, port.serial_number = 0x1234, 0x5678, serial_number
    return port


async def test_a_usb_scale_is_found_again_by_its_serial_number(
    fake_scale: FakeSerialScale, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another scale has taken the old name: the readings must not come from that one."""
    other = FakeSerialScale(tmp_path / "ttyFAKE1")
    ports = [usb_port(str(fake_scale.link), "A1")]
    monkeypatch.setattr(list_ports, "comports", lambda: ports)
    async with listening(supervised(fake_scale.link)) as heard:
        fake_scale.send(encode_checked(0, 0, 1.0))
        await heard.until(lambda heard: heard.grams == [1.0])
        fake_scale.unplug()
        await heard.until(lambda heard: len(heard.links) == 1)
        fake_scale.plug()
        ports[:] = [usb_port(str(fake_scale.link), "B2")]
        await asyncio.sleep(0.1)
        fake_scale.send(encode_checked(1, 0, 99.0))
        other.plug()
        ports.append(usb_port(str(other.link), "A1"))
        for n in range(100):
            other.send(encode_checked(n, n * 12, 2.0))
            if len(heard.grams) > 1:
                break
            await asyncio.sleep(0.02)
    other.unplug()
    assert set(heard.grams) == {1.0, 2.0}
    assert [link.up for link in heard.links] == [False, True]
