"""Captures of an unknown scale as JSON, to be looked at again, or sent to whoever can help."""

import json

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import UsageError
from pourcoach.session.weighing.describing import HeardCapture
from pourcoach.wire.description import Gatt, Transport
from pourcoach.wire.unknown.capture import Capture, Chunk

VERSION = 1
STRETCHES = ("off", "on", "off_again", "below")
MOST_SOURCES = 100
MOST_KNOWN_G = 1e6
REMEDY = "make one with 'pourcoach scales describe --raw'"


def write_captures(captures: list[HeardCapture]) -> str:
    """JSON that ``read_captures`` reads back to equal captures."""
    return json.dumps(
        {
            "pourcoach_capture": VERSION,
            "sources": [
                {
                    "known_g": heard.capture.known_g,
                    "transport": heard.capture.transport.value,
                    "gatt": None
                    if heard.gatt is None
                    else {"service": heard.gatt.service, "notify": heard.gatt.notify},
                }
                | {
                    name: [[t_s, data.hex()] for t_s, data in getattr(heard.capture, name)]
                    for name in STRETCHES
                }
                for heard in captures
            ],
        }
    )


def read_captures(text: str) -> list[HeardCapture]:
    """Raises UsageError for what is no capture, naming what is wrong."""
    try:
        table = CheckedTable("the capture of a scale", from_json(text))
    except DocumentError as error:
        raise UsageError(f"this is no capture of a scale: {error}", REMEDY) from None
    if "pourcoach_capture" not in table:
        raise UsageError("this is no capture of a scale", REMEDY)
    table.whole("pourcoach_capture", VERSION, VERSION)
    if "sources" not in table:
        raise table.wrong("sources", f"is {table.raw('sources')!r}", REMEDY)
    return [_heard(source) for source in table.tables("sources", MOST_SOURCES, least=0)]


def _heard(table: CheckedTable) -> HeardCapture:
    off, on, off_again, below = (_chunks(table, stretch) for stretch in STRETCHES)
    capture = Capture(
        table.number("known_g", least=0.0, most=MOST_KNOWN_G),
        off=off,
        on=on,
        off_again=off_again,
        below=below,
        transport=table.one_of("transport", {way.value: way for way in Transport}),
    )
    gatt = table.raw("gatt")
    return HeardCapture(capture, None if gatt is None else _gatt(table.table("gatt")))


def _gatt(table: CheckedTable) -> Gatt:
    return Gatt(table.text("service"), table.text("notify"))


def _chunks(table: CheckedTable, key: str) -> tuple[Chunk, ...]:
    try:
        return tuple((float(t_s), bytes.fromhex(data)) for t_s, data in table.raw(key))
    except (ValueError, TypeError):
        raise table.wrong(key, "has what is no chunk", "write each as [seconds, hex]") from None
