"""A tile from anywhere, judged before anything of it is shown."""

from collections.abc import Mapping
from enum import Enum
from typing import Any, TypeVar

from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import number_in
from pourcoach.domain.pour import Phase
from pourcoach.domain.printable import LONGEST_NAME, printable
from pourcoach.sharing.tile import LONGEST_SENTENCE, VERSION, Tile, TileFinding

LONGEST_MESSAGE = 16_384
"""In bytes. A tile of ours is under 2000."""
LARGEST = 1e6
"""Of a mass or a time: beyond any scale's reach and any day's length."""

_Choice = TypeVar("_Choice", bound=Enum)


class OtherVersionError(UsageError):
    """A message that another version of the program means something by."""

    def __init__(self, version: object) -> None:
        super().__init__(
            f"it sends messages of version {version!r:.20}, and this program reads {VERSION}",
            "use the same version of the program at both ends",
        )


def read_message(payload: bytes | bytearray, key: str) -> Mapping[str, Any]:
    """The JSON object of one message whose version stands under ``key``.

    Raises OtherVersionError, and UsageError for what is no such message.
    """
    if len(payload) > LONGEST_MESSAGE:
        raise UsageError(f"a message of {len(payload)} bytes is longer than {LONGEST_MESSAGE}")
    try:
        data = from_json(bytes(payload).decode("utf-8"))
    except (DocumentError, UnicodeDecodeError) as error:
        raise UsageError(f"a message cannot be read: {printable(str(error))}") from None
    if not isinstance(data, Mapping) or data.get(key) is None:
        raise UsageError(f"a message has no {key!r}")
    if data[key] is True or data[key] != VERSION:
        raise OtherVersionError(data[key])
    return data


def read_tile(payload: bytes | bytearray) -> Tile:
    """The tile of a message; unknown keys are passed over.

    Raises OtherVersionError, and UsageError for what is no tile.
    """
    data = read_message(payload, "tile")
    finding = data.get("finding")
    return Tile(
        station=_text(data, "station", LONGEST_NAME),
        at=_text(data, "at", LONGEST_NAME),
        phase=_one_of(data, "phase", Phase),
        word=_one_of(data, "word", Word),
        state=_one_of(data, "state", CueState),
        says=_text(data, "says", LONGEST_SENTENCE),
        weight_g=_number(data, "weight_g"),
        off_g=_number(data, "off_g"),
        band_g=_number(data, "band_g", least=0.0),
        flow_gps=_number(data, "flow_gps"),
        time_s=_number(data, "time_s"),
        countdown_s=_number(data, "countdown_s"),
        stage=_text_or_none(data, "stage"),
        to_g=_number(data, "to_g"),
        next=_text(data, "next", LONGEST_SENTENCE),
        finding=None if finding is None else _finding(finding),
        link=data.get("link") is True,
        notice=_text_or_none(data, "notice", LONGEST_SENTENCE),
        person=_text_or_none(data, "person"),
        run=_text(data, "run", LONGEST_NAME),
        number=int(number_in(data.get("number"), "a tile's number", least=0, most=1e15)),
    )


def read_finding(payload: bytes | bytearray) -> TileFinding:
    """A finding that is sent by itself; errors as with ``read_tile``."""
    return _finding(read_message(payload, "finding"))


def read_here(payload: bytes | bytearray) -> tuple[str, str]:
    """Whether a station is "here" or "gone", and its run; errors as with ``read_tile``."""
    data = read_message(payload, "here")
    return _text(data, "state", LONGEST_NAME), _text(data, "run", LONGEST_NAME)


def _finding(data: object) -> TileFinding:
    if not isinstance(data, Mapping):
        raise UsageError(f"a finding is {data!r:.40}")
    at_s = number_in(data.get("at_s"), "a finding's at_s", least=-LARGEST, most=LARGEST)
    return TileFinding(
        _text(data, "kind", LONGEST_NAME),
        _text(data, "says", LONGEST_SENTENCE),
        _text_or_none(data, "stage"),
        at_s,
    )


def _text(data: Mapping[str, Any], key: str, longest: int) -> str:
    value = data.get(key)
    if not isinstance(value, str):
        raise UsageError(f"a tile's {key} is {value!r:.40}")
    return printable(value, longest)


def _text_or_none(data: Mapping[str, Any], key: str, longest: int = LONGEST_NAME) -> str | None:
    return None if data.get(key) is None else _text(data, key, longest)


def _number(data: Mapping[str, Any], key: str, *, least: float = -LARGEST) -> float | None:
    value = data.get(key)
    return None if value is None else number_in(value, f"a tile's {key}", least=least, most=LARGEST)


def _one_of(data: Mapping[str, Any], key: str, choices: type[_Choice]) -> _Choice:
    try:
        return choices(data.get(key))
    except ValueError:
        raise UsageError(f"a tile's {key} is {data.get(key)!r:.40}") from None
