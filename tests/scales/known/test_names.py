"""A name sticks to the device, whatever its port is called."""

import pytest
from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.scales.cable.usb_identity import UsbIdentity
from pourcoach.scales.known.names import (
    NamedScale,
    give_name,
    names_path,
    read_names,
    scale_address,
    take_name_away,
)


def usb_port(device: str, serial_number: str | None) -> ListPortInfo:
    port = ListPortInfo(device)
    port.vid, port.pid, port.serial_number = 0x1A86, 0x7523, serial_number
    return port


@pytest.fixture(autouse=True)
def ports(monkeypatch: pytest.MonkeyPatch) -> list[ListPortInfo]:
    ports = [usb_port("/dev/ttyUSB0", "A1")]
    monkeypatch.setattr(list_ports, "comports", lambda: ports)
    return ports


def test_a_usb_scale_is_found_at_its_new_port(ports: list[ListPortInfo]) -> None:
    given = give_name("station 3", "serial:/dev/ttyUSB0?baud=9600")
    assert given.usb == UsbIdentity(0x1A86, 0x7523, "A1")
    ports[:] = [usb_port("/dev/ttyUSB0", "B2"), usb_port("/dev/ttyUSB1", "A1")]
    address = scale_address("station 3")
    assert (address.target, address.options) == ("/dev/ttyUSB1", {"baud": "9600"})
    assert str(address) == "serial:/dev/ttyUSB1?baud=9600"


def test_one_that_is_not_plugged_in_is_reported(ports: list[ListPortInfo]) -> None:
    give_name("station 3", "serial:/dev/ttyUSB0")
    ports.clear()
    with pytest.raises(WorkError, match="'station 3' is not plugged in"):
        scale_address("station 3")


@pytest.mark.parametrize("text", ["ble:AA:BB:CC:00:00:01", "serial:/dev/ttyS0", "sim:steady"])
def test_others_are_kept_by_their_address(text: str) -> None:
    assert give_name("bench", text) == NamedScale("bench", text)
    assert str(scale_address("bench")) == text


def test_a_usb_port_without_serial_number_is_kept_by_its_address(
    ports: list[ListPortInfo],
) -> None:
    ports[:] = [usb_port("/dev/ttyUSB0", None)]
    assert give_name("bench", "serial:/dev/ttyUSB0").usb is None


def test_an_address_needs_no_name() -> None:
    assert scale_address("serial:/dev/ttyUSB0").target == "/dev/ttyUSB0"


def test_names_are_given_again_and_taken_away() -> None:
    give_name("bench", "sim:steady")
    with pytest.raises(WorkError, match=r"'bench' is the name of sim:steady; .* --force"):
        give_name("bench", "sim:hasty")
    assert str(scale_address("bench")) == "sim:steady"
    give_name("bench", "sim:hasty", over=True)
    assert {name: named.address for name, named in read_names().items()} == {"bench": "sim:hasty"}
    take_name_away("bench")
    assert read_names() == {}
    with pytest.raises(UsageError):
        take_name_away("bench")


@pytest.mark.parametrize("name", ["", " ", "a:b", "x" * 41, "a\nb", "\x1b[2J"])
def test_what_is_no_name(name: str) -> None:
    with pytest.raises(UsageError, match="is no name"):
        give_name(name, "sim:steady")


def test_what_is_neither_name_nor_address_is_reported() -> None:
    with pytest.raises(UsageError, match="neither a scale address nor a name"):
        scale_address("staton 3")


@pytest.mark.parametrize("port", ["/dev/ttyUSB0", "COM3"])
def test_a_bare_port_is_answered_with_how_to_write_it(port: str) -> None:
    with pytest.raises(UsageError, match=f"write serial:{port}"):
        scale_address(port)


@pytest.mark.parametrize(
    "text", ["bench =", 'bench = "x"', "[bench]\nusb = 'a:b:c'", "[bench]\naddress='x'\nusb='q'"]
)
def test_a_broken_file_is_reported(text: str) -> None:
    names_path().parent.mkdir()
    names_path().write_text(text)
    with pytest.raises(WorkError, match="mend or delete the file"):
        read_names()
