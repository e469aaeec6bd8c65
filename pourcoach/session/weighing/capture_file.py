"""Captures of an unknown scale as JSON, to be looked at again, or sent to whoever can help."""

import json
from typing import Any

from pourcoach.domain.documents import from_json
from pourcoach.domain.errors import UsageError
from pourcoach.session.weighing.describing import HeardCapture
from pourcoach.wire.description import Gatt, Transport
from pourcoach.wire.unknown.capture import Capture, Chunk

VERSION = 1
STRETCHES = ("off", "on", "off_again", "below")


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
    """Raises UsageError for what is no capture."""
    try:
        data = from_json(text)
        if data["pourcoach_capture"] != VERSION:
            raise ValueError
        return [_heard(source) for source in data["sources"]]
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise UsageError(
            "this is no capture of a scale", "make one with 'pourcoach scales describe --raw'"
        ) from None


def _heard(source: dict[str, Any]) -> HeardCapture:
    gatt = source["gatt"]
    capture = Capture(
        float(source["known_g"]),
        off=_chunks(source["off"]),
        on=_chunks(source["on"]),
        off_again=_chunks(source["off_again"]),
        below=_chunks(source["below"]),
        transport=Transport(source["transport"]),
    )
    return HeardCapture(
        capture, None if gatt is None else Gatt(str(gatt["service"]), str(gatt["notify"]))
    )


def _chunks(rows: list[tuple[float, str]]) -> tuple[Chunk, ...]:
    return tuple((float(t_s), bytes.fromhex(data)) for t_s, data in rows)
