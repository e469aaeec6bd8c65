"""``pourcoach scales describe``: works out how an unknown scale speaks, from a known weight."""

import argparse
import asyncio
import re
import sys
from pathlib import Path

from pourcoach.cli.console.terminal_asker import TerminalAsker
from pourcoach.cli.options.number_option import number_within
from pourcoach.cli.options.out_option import add_former, add_out_option, refuse_taken
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.units import Grams
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.known.descriptions import SUFFIX, descriptions_folder
from pourcoach.scales.known.names import scale_address
from pourcoach.session.weighing.capture_file import read_captures, write_captures
from pourcoach.session.weighing.describing import HeardCapture, capture_scale
from pourcoach.text_file import content_of, make_folder, read_text, write_text
from pourcoach.wire.described.writer import write_description
from pourcoach.wire.description import SerialLine, Transport
from pourcoach.wire.unknown.wizard import LEAST_KNOWN_G, Proposal, propose

EXAMPLE = "pourcoach scales describe serial:/dev/ttyUSB0?baud=9600 --weight 200 --name bench"

MOST_KNOWN_G: Grams = 20_000.0
"""No scale for brewing weighs more."""


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("scale", metavar="ADDRESS", help="serial:PORT?baud=… or ble:NAME")
    parser.add_argument(
        "--weight",
        type=number_within(LEAST_KNOWN_G, MOST_KNOWN_G, "grams"),
        metavar="G",
        help=f"a known weight, {LEAST_KNOWN_G:g} g or more; 200 g is good",
    )
    parser.add_argument(
        "--raw",
        type=Path,
        metavar="FILE",
        help="write the bytes that were heard there, as JSON for --from",
    )
    add_former(parser, "raw", ("--keep",))
    parser.add_argument(
        "--from",
        dest="heard",
        type=Path,
        metavar="FILE",
        help="work on bytes that were kept with --raw, without a scale",
    )
    parser.add_argument(
        "--name",
        required=True,
        metavar="NAME",
        help="what to call the description; used as ?as=NAME in the scale's address",
    )
    add_out_option(parser, "write the description there (default: the settings' folder)")


def run(args: argparse.Namespace) -> int:
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9 _-]{0,39}", args.name):
        raise UsageError(f"{args.name!r} is no name for a description", "use letters and digits")
    path = args.out or descriptions_folder() / f"{args.name}{SUFFIX}"
    refuse_taken(args, path, args.raw)
    address = scale_address(args.scale)
    asker = TerminalAsker(sys.stdout)
    try:
        proposal = asyncio.run(_described(address, args, asker))
    except KeyboardInterrupt:
        raise WorkError("the wizard was broken off", "nothing was written") from None
    if proposal is None:
        print("Nothing was written.")
        return 1
    if args.out is None:
        make_folder(path.parent)
    write_text(path, write_description(proposal.description), over=args.force)
    chosen = path if args.out else args.name
    mark = "&" if "?" in args.scale else "?"
    print(f"Written to {path}.\nUse it as --scale '{args.scale}{mark}as={chosen}'")
    return 0


async def _described(
    address: ScaleAddress, args: argparse.Namespace, asker: TerminalAsker
) -> Proposal | None:
    from pourcoach.scales.open import serial_line

    serial = serial_line(address) if address.kind == "serial" else None
    if args.heard is not None:
        if args.raw is not None:
            raise UsageError("--raw writes what is heard now", "leave it out with --from")
        captures = _read(args.heard)
    elif args.weight is None:
        raise UsageError("no weight is named", "use --weight G, and put that on when asked")
    else:
        captures = await _captures(address, args.weight, asker)
        if args.raw is not None:
            write_text(args.raw, write_captures(captures), over=args.force)
    proposals = _proposals(captures, args.name, serial)
    if not proposals:
        raise WorkError(
            "no bytes were found that move with the weight",
            "try a heavier one, see that the scale sends while it stands still, "
            "and check the baud rate",
        )
    return await _chosen(proposals, captures[0].capture.known_g, asker)


async def _captures(
    address: ScaleAddress, known_g: Grams, asker: TerminalAsker
) -> list[HeardCapture]:
    from pourcoach.scales.raw_bytes import overhear
    from pourcoach.session.clock import Clock

    clock = Clock()
    return await capture_scale(
        lambda on_heard, on_lost: overhear(address, clock.now, on_heard, on_lost),
        asker,
        known_g,
        Transport.BLE if address.kind == "ble" else Transport.SERIAL,
    )


def _proposals(
    captures: list[HeardCapture], name: str, serial: SerialLine | None
) -> list[Proposal]:
    found: list[Proposal] = []
    trouble: WorkError | None = None
    for heard in captures:
        try:
            found += propose(heard.capture, name, serial, heard.gatt)
        except WorkError as error:
            # A characteristic that notifies now and then, as of a battery.
            trouble = error
    if trouble is not None and not found:
        raise trouble
    return found


async def _chosen(
    proposals: list[Proposal], known_g: Grams, asker: TerminalAsker
) -> Proposal | None:
    for number, proposal in enumerate(proposals, 1):
        asker.say(f"\n{number}. {proposal.where}")
        asker.say(f"   as in  {proposal.sample}")
        description = proposal.description
        asker.say(
            f"   times {description.factor:g} gives {description.unit}; "
            f"{known_g:g} g read as {proposal.shown_g:.2f} g"
        )
        for doubt in proposal.doubts:
            asker.say(f"   But {doubt}.")
    while True:
        another = f", a number up to {len(proposals)}" if len(proposals) > 1 else ""
        answer = await asker.ask(f"Which one? Enter for 1{another}, or n for none:")
        answer = answer.strip().lower() or "1"
        if answer == "n":
            return None
        if answer.isdecimal() and 1 <= int(answer) <= len(proposals):
            return proposals[int(answer) - 1]


def _read(path: Path) -> list[HeardCapture]:
    with content_of(path):
        return read_captures(read_text(path, "the bytes that were kept in"))
