"""Real pyserial over pseudo-terminals: every way a cable can fail, and no leak."""

import asyncio
import errno
import os
import socket
import sys
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
import serial
from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.calibrations import keep_calibration
from pourcoach.scales.dialect import line_dialect
from pourcoach.scales.open import open_scale
from pourcoach.scales.serial_port import SerialConnector, open_trouble
from pourcoach.scales.supervised import Pace, SupervisedScale
from pourcoach.weighing.calibration import Calibration
from pourcoach.wire.description import SerialLine
from tests.scales.fake_serial import FakeSerialScale
from tests.scales.listener import QUICK, Listener, listening, now, open_descriptors, serial_threads
from tests.wire.scale_lines import encode_checked, encode_counts

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are POSIX only")


def supervised(target: Path | str, pace: Pace = QUICK) -> SupervisedScale:
    connector = SerialConnector(str(target), SerialLine(), line_dialect(), now)
    return SupervisedScale(f"serial:{target}", connector, now, pace)


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
        f"the scale on {fake_scale.link} is gone: "
        "see that it is plugged in and switched on; the brew goes on"
    )
    assert (back.up, back.why) == (True, "")
    assert heard.items.index(back) < len(heard.items) - 1
    assert 2.0 in heard.grams


async def test_a_port_that_does_not_exist_is_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(WorkError) as told:
        async with open_scale(f"serial:{tmp_path}/ttyNONE", now):
            pass
    assert str(told.value) == (
        f"there is no serial port {tmp_path}/ttyNONE; "
        "plug the scale in; 'pourcoach scales' lists the ports"
    )


async def test_what_is_no_port_is_told_at_once(tmp_path: Path) -> None:
    plain_file = tmp_path / "notes.txt"
    plain_file.write_text("12.3\n")
    with pytest.raises(WorkError, match="is no serial port"):
        async with open_scale(f"serial:{plain_file}", now):
            pass


async def test_a_port_in_use_is_told_at_once(fake_scale: FakeSerialScale) -> None:
    with serial.Serial(str(fake_scale.link), exclusive=True), pytest.raises(WorkError) as told:
        async with open_scale(f"serial:{fake_scale.link}", now):
            pass
    assert str(told.value) == (
        f"another program is using {fake_scale.link}; close it and try again"
    )


async def test_a_second_program_cannot_take_the_port(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)):
        with pytest.raises(serial.SerialException):
            serial.Serial(str(fake_scale.link), exclusive=True)


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


async def test_a_scale_that_sends_nothing_is_told_and_waited_for(
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


async def test_a_scale_that_sends_no_weights_is_told(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        fake_scale.send(b"\xf8\x80\xfe\n" * 20)
        await heard.until(lambda heard: len(heard.links) == 1)
    assert heard.links[0].why == (
        f"what the scale on {fake_scale.link} sends is no weight (not text): check its baud rate "
        "and format, or describe it with 'pourcoach scales describe'"
    )


async def test_a_scale_that_stops_sending_is_told(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)) as heard:
        for n in range(5):
            fake_scale.send(encode_checked(n, n * 12, 1.0))
            await asyncio.sleep(0.01)
        await heard.until(lambda heard: len(heard.links) == 1)
    assert "has stopped sending" in heard.links[0].why


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


async def test_a_network_port_that_refuses_is_told_at_once() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
    with pytest.raises(WorkError, match="cannot be opened"):
        async with open_scale(f"serial:socket://127.0.0.1:{port}", now):
            pass


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


async def test_options_of_pyserials_own_urls_reach_them() -> None:
    """As in ``spy://PORT?file=traffic.txt``, which logs traffic for a bug report."""
    async with open_scale("serial:loop://?logging=error&baud=9600", now):
        pass
    with pytest.raises(UsageError, match="cannot be opened so"):
        async with open_scale("serial:loop://?nosuch=1", now):
            pass


@pytest.mark.parametrize(
    "address",
    [
        "serial:nosuch://x",
        "serial:loop://?parity=mark",
        "serial:loop://?baud=fast",
        "serial:loop://?baud=9600.5",
        "serial:loop://?counts=off",
        "serial:loop://?as=reference-serial&channel=2",
        "serial:loop://?as=reference-serial&rate=7",
    ],
)
async def test_wrong_addresses_are_wrong_use(address: str) -> None:
    with pytest.raises(UsageError):
        async with open_scale(address, now):
            pass


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (OSError(errno.ENOENT, "gone"), "there is no serial port"),
        (OSError(errno.EACCES, "denied"), "no permission to use"),
        (OSError(errno.EBUSY, "busy"), "another program is using"),
        (OSError(errno.EAGAIN, "locked"), "another program is using"),
        (OSError(errno.ENOTTY, "not a tty"), "is no serial port"),
        (
            serial.SerialException("could not open port 'COM9': FileNotFoundError(2, …)"),
            "there is no",
        ),
        (serial.SerialException("could not open port 'COM3': PermissionError(13, …)"), "another"),
    ],
)
def test_each_trouble_of_opening_has_its_sentence(error: OSError, says: str) -> None:
    what, remedy = open_trouble(error, "/dev/ttyUSB0")
    assert says in what
    assert remedy


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


async def test_200_openings_leak_no_thread_and_no_descriptor(fake_scale: FakeSerialScale) -> None:
    async with supervised(fake_scale.link):
        pass
    before = open_descriptors()
    for _ in range(200):
        async with supervised(fake_scale.link):
            pass
    assert serial_threads() == []
    assert open_descriptors() == before
    assert len(asyncio.all_tasks()) == 1


async def test_200_unpluggings_in_a_row_leave_nothing(fake_scale: FakeSerialScale) -> None:
    pace = replace(QUICK, first_wait_s=0.0, longest_wait_s=0.0)
    async with listening(supervised(fake_scale.link, pace)) as heard:
        before: tuple[int, int, int] | None = None
        for times in range(202):
            for n in range(200):
                fake_scale.send(encode_checked(n, n * 12, float(times)))
                if float(times) in heard.grams[-1:]:
                    break
                await asyncio.sleep(0.002)
            held = (open_descriptors(), len(serial_threads()), len(asyncio.all_tasks()))
            before = before or held
            assert held == before
            fake_scale.unplug()
            await heard.until(lambda heard, lost=times + 1: lost_times(heard) == lost)
            fake_scale.plug()
    assert [link.up for link in heard.links] == [False, True] * 201 + [False]


def lost_times(heard: Listener) -> int:
    return sum(not link.up for link in heard.links)


async def test_cancelled_at_any_moment_nothing_is_left(fake_scale: FakeSerialScale) -> None:
    async def use() -> None:
        async with supervised(fake_scale.link) as scale:
            await scale.tare()
            async for _ in scale:
                pass

    for step in range(60):
        task = asyncio.create_task(use())
        for _ in range(step):
            await asyncio.sleep(0)
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
    assert serial_threads() == []
