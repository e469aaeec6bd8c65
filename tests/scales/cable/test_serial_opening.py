"""Every way in which a port cannot be opened has its sentence."""

import errno
import socket
import sys
from pathlib import Path

import pytest
import serial

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.scales.cable.serial_port import open_trouble
from pourcoach.scales.open import open_scale
from tests.scales.fake_serial import FakeSerialScale
from tests.scales.listener import listening, now
from tests.scales.over_cable import supervised

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are POSIX only")


async def test_a_port_that_does_not_exist_is_error_at_once(tmp_path: Path) -> None:
    with pytest.raises(WorkError) as error:
        async with open_scale(f"serial:{tmp_path}/ttyNONE", now):
            pass
    assert str(error.value) == (
        f"there is no serial port {tmp_path}/ttyNONE; "
        "plug the scale in; 'pourcoach scales' lists the ports"
    )


async def test_what_is_no_port_is_error_at_once(tmp_path: Path) -> None:
    plain_file = tmp_path / "notes.txt"
    plain_file.write_text("12.3\n")
    with pytest.raises(WorkError, match="is no serial port"):
        async with open_scale(f"serial:{plain_file}", now):
            pass


async def test_a_port_in_use_is_error_at_once(fake_scale: FakeSerialScale) -> None:
    with serial.Serial(str(fake_scale.link), exclusive=True), pytest.raises(WorkError) as error:
        async with open_scale(f"serial:{fake_scale.link}", now):
            pass
    assert str(error.value) == (
        f"another program is using {fake_scale.link}; close it and try again"
    )


async def test_a_second_program_cannot_take_the_port(fake_scale: FakeSerialScale) -> None:
    async with listening(supervised(fake_scale.link)):
        with pytest.raises(serial.SerialException):
            serial.Serial(str(fake_scale.link), exclusive=True)


async def test_a_network_port_that_refuses_is_error_at_once() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
    with pytest.raises(WorkError, match="cannot be opened"):
        async with open_scale(f"serial:socket://127.0.0.1:{port}", now):
            pass


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
