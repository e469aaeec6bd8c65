"""``pourcoach scales``: finds scales and shows what one of them sends."""

import argparse
import importlib
from typing import TYPE_CHECKING, Any

from pourcoach.cli.commands import texts
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.parser import Parser
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.printable import json_text

if TYPE_CHECKING:
    from pourcoach.scales.cable.listing import SerialPort
    from pourcoach.scales.known.names import NamedScale
    from pourcoach.scales.radio.bluetooth_search import BluetoothDevice

EXAMPLE = "pourcoach scales --live serial:/dev/ttyUSB0"

# action -> (module under pourcoach.cli, line of help)
ACTIONS: dict[str, tuple[str, str]] = {
    "name": ("scales_name", "gives a scale a name to be used in its address's place"),
    "describe": ("describe", "works out how an unknown scale speaks, from a known weight"),
    "doctor": ("scales_doctor", "says why no scale is found, and what to do"),
}
# A device that saves its battery advertises every second or two.
SEARCH_S = 4.0


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--live", metavar="ADDRESS", help="show the readings of one scale, its rate and its noise"
    )
    parser.add_argument(
        "--for",
        dest="seconds",
        type=_seconds,
        metavar="SECONDS",
        help="with --live: stop by itself after so long (default: at Ctrl+C)",
    )
    parser.add_argument("--no-bluetooth", action="store_true", help="list only what is plugged in")
    parser.add_argument("--json", action="store_true", help="print JSON, an object a line")
    actions = parser.add_subparsers(dest="action", metavar="ACTION", parser_class=Parser)
    for name, (module_name, line) in ACTIONS.items():
        module = importlib.import_module(f"pourcoach.cli.{module_name}")
        action = actions.add_parser(name, help=line, **texts(line, module.EXAMPLE))
        module.configure(action)
        action.set_defaults(run_action=module.run)


def _seconds(text: str) -> float:
    try:
        value = read_number(text)
    except UsageError:
        value = 0.0
    if not 0.0 < value < float("inf"):
        raise argparse.ArgumentTypeError(f"{text!r} is no time; write seconds above 0")
    return value


def run(args: argparse.Namespace) -> int:
    if args.action is not None:
        status: int = args.run_action(args)
        return status
    if args.live is not None:
        from pourcoach.cli.console.live_scale import show_live

        return show_live(args.live, args.seconds, as_json=args.json)
    if args.seconds is not None:
        raise UsageError("--for needs --live ADDRESS")
    return _list(with_bluetooth=not args.no_bluetooth, as_json=args.json)


def _list(*, with_bluetooth: bool, as_json: bool) -> int:
    # pyserial and bleak: only for those who list
    import asyncio

    from pourcoach.scales.cable.listing import serial_ports
    from pourcoach.scales.known.names import read_names
    from pourcoach.scales.link.connection import NoConnectionError

    names = list(read_names().values())
    ports = serial_ports()
    devices: list[BluetoothDevice] = []
    trouble: str | None = None
    if with_bluetooth:
        from pourcoach.scales.radio.bluetooth_search import devices_in_sight

        try:
            devices = asyncio.run(devices_in_sight(SEARCH_S))
        except NoConnectionError as error:
            trouble = str(error)
    if as_json:
        if trouble is not None:
            say_error(trouble)
        for entry in [*map(_port_object, ports), *map(_device_object, devices)]:
            print(json_text(entry | {"called": _called(entry, names)}))
        return 0
    lines = _names_lines(names) + _port_lines(ports)
    if with_bluetooth:
        lines += _device_lines(devices) if trouble is None else [f"Bluetooth: {trouble}."]
    print("\n".join(lines))
    return 0


def _names_lines(names: list["NamedScale"]) -> list[str]:
    lines = [f"  {named.name:<28}  {named.address}" for named in names]
    return ["Names given to scales:", *lines] if lines else []


def _port_lines(ports: list["SerialPort"]) -> list[str]:
    lines = [f"  {port.address:<28}  {port.what}".rstrip() for port in ports]
    if not lines:
        return ["No serial port is there ('pourcoach scales doctor' says why)."]
    return ["Serial ports:", *lines]


def _device_lines(devices: list["BluetoothDevice"]) -> list[str]:
    lines = []
    for device in sorted(devices, key=lambda device: not device.speaks):
        strength = "connected" if device.rssi_dbm is None else f"{device.rssi_dbm} dBm"
        what = "a scale" if device.speaks else "needs a description, if it is a scale"
        what += " in steps of 5 g: too coarse to judge a pour" if device.is_coarse else ""
        lines.append(f"  {device.address:<28}  {strength:<9}  {device.id}  {what}")
    if not lines:
        return ["No Bluetooth device is in sight ('pourcoach scales doctor' says why)."]
    return ["Bluetooth devices in sight:", *lines]


def _port_object(port: "SerialPort") -> dict[str, Any]:
    return {
        "address": port.address,
        "what": port.what,
        "vid": port.vid,
        "pid": port.pid,
        "serial_number": port.serial_number,
    }


def _device_object(device: "BluetoothDevice") -> dict[str, Any]:
    return {
        "address": device.address,
        "id": device.id,
        "name": device.name,
        "rssi_dbm": device.rssi_dbm,
        "services": device.services,
        "speaks": device.speaks,
    }


def _called(entry: dict[str, Any], names: list["NamedScale"]) -> str | None:
    """The name given to it, by its serial number or by its address."""
    for named in names:
        usb = named.usb
        if usb is not None:
            seen = (entry.get("vid"), entry.get("pid"), entry.get("serial_number"))
            if seen == (usb.vid, usb.pid, usb.serial_number):
                return named.name
        elif named.address.partition("?")[0] in (entry["address"], f"ble:{entry.get('id')}"):
            return named.name
    return None
