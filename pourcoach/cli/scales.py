"""``pourcoach scales``: finds scales and shows what one of them sends."""

import argparse
import importlib
import json
from typing import Any

from pourcoach.cli.parser import Parser

EXAMPLE = "pourcoach scales --live serial:/dev/ttyUSB0"

# action -> (module under pourcoach.cli, line of help)
ACTIONS: dict[str, tuple[str, str]] = {}


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--live", metavar="ADDRESS", help="show the readings of one scale, its rate and its noise"
    )
    parser.add_argument(
        "--for",
        dest="seconds",
        type=float,
        metavar="SECONDS",
        help="with --live: stop by itself after so long",
    )
    parser.add_argument("--json", action="store_true", help="print JSON, an object a line")
    actions = parser.add_subparsers(dest="action", metavar="ACTION", parser_class=Parser)
    for name, (module_name, line) in ACTIONS.items():
        module = importlib.import_module(f"pourcoach.cli.{module_name}")
        action = actions.add_parser(
            name,
            help=line,
            description=line,
            epilog=f"example: {module.EXAMPLE}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        module.configure(action)
        action.set_defaults(run_action=module.run)


def run(args: argparse.Namespace) -> int:
    if args.action is not None:
        status: int = args.run_action(args)
        return status
    if args.live is not None:
        from pourcoach.cli.live_scale import show_live

        return show_live(args.live, args.seconds, as_json=args.json)
    return _list(as_json=args.json)


def _list(*, as_json: bool) -> int:
    # pyserial: only for those who list
    from pourcoach.scales.listing import SerialPort, serial_ports

    ports = serial_ports()
    if as_json:
        for port in ports:
            print(json.dumps(_serial_object(port)))
        return 0

    def line(port: SerialPort) -> str:
        return f"  {port.address:<28}  {port.what}".rstrip()

    print("Serial ports:" if ports else "No serial port is there.")
    print("\n".join(line(port) for port in ports) + "\n" if ports else "", end="")
    return 0


def _serial_object(port: Any) -> dict[str, Any]:
    return {
        "address": port.address,
        "what": port.what,
        "vid": port.vid,
        "pid": port.pid,
        "serial_number": port.serial_number,
    }
