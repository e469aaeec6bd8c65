"""A tile from anywhere, judged before anything of it is shown."""

from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import UsageError
from pourcoach.domain.pour import Phase
from pourcoach.domain.printable import LONGEST_NAME, printable
from pourcoach.sharing.tile import LONGEST_SENTENCE, VERSION, Tile, TileFinding

LONGEST_MESSAGE = 16_384
"""In bytes. A tile of ours is under 2000."""
LARGEST = 1e6
"""Of a mass or a time: beyond any scale's reach and any day's length."""
MOST_COUNTED = 10**15
"""Of messages, from one run: still exact in every reader's numbers."""


class OtherVersionError(UsageError):
    """A message that another version of the program means something by."""

    def __init__(self, version: object) -> None:
        super().__init__(
            f"it sends messages of version {version!r:.20}, and this program reads {VERSION}",
            "use the same version of the program at both ends",
        )


def read_message(payload: bytes | bytearray, key: str) -> CheckedTable:
    """The JSON object of one message whose version stands under ``key``.

    Raises OtherVersionError, and UsageError for what is no such message.
    """
    if len(payload) > LONGEST_MESSAGE:
        raise UsageError(f"a message of {len(payload)} bytes is longer than {LONGEST_MESSAGE}")
    try:
        data = from_json(bytes(payload).decode("utf-8"))
    except (DocumentError, UnicodeDecodeError) as error:
        raise UsageError(f"a message cannot be read: {printable(str(error))}") from None
    table = CheckedTable("a message", data)
    version = table.raw(key)
    if version is None:
        raise UsageError(f"a message has no {key!r}")
    if version is True or version != VERSION:
        raise OtherVersionError(version)
    return table


def read_tile(payload: bytes | bytearray) -> Tile:
    """The tile of a message; unknown keys are passed over.

    Raises OtherVersionError, and UsageError for what is no tile.
    """
    table = read_message(payload, "tile")
    return Tile(
        station=_text(table, "station", LONGEST_NAME),
        at=_text(table, "at", LONGEST_NAME),
        phase=table.member("phase", Phase),
        word=table.member("word", Word),
        state=table.member("state", CueState),
        says=_text(table, "says", LONGEST_SENTENCE),
        weight_g=_number(table, "weight_g"),
        off_g=_number(table, "off_g"),
        band_g=_number(table, "band_g", least=0.0),
        flow_gps=_number(table, "flow_gps"),
        time_s=_number(table, "time_s"),
        countdown_s=_number(table, "countdown_s"),
        stage=_text_or_none(table, "stage"),
        to_g=_number(table, "to_g"),
        next=_text(table, "next", LONGEST_SENTENCE),
        finding=table.maybe("finding", _finding),
        link=table.flag("link", usual=False),
        notice=_text_or_none(table, "notice", LONGEST_SENTENCE),
        person=_text_or_none(table, "person"),
        run=_text(table, "run", LONGEST_NAME),
        number=table.whole("number", 0, MOST_COUNTED),
    )


def read_finding(payload: bytes | bytearray) -> TileFinding:
    """A finding that is sent by itself; errors as with ``read_tile``."""
    return _finding(read_message(payload, "finding"))


def read_here(payload: bytes | bytearray) -> tuple[str, str]:
    """Whether a station is "here" or "gone", and its run; errors as with ``read_tile``."""
    table = read_message(payload, "here")
    return _text(table, "state", LONGEST_NAME), _text(table, "run", LONGEST_NAME)


def _finding(table: CheckedTable) -> TileFinding:
    return TileFinding(
        _text(table, "kind", LONGEST_NAME),
        _text(table, "says", LONGEST_SENTENCE),
        _text_or_none(table, "stage"),
        table.number("at_s", least=-LARGEST, most=LARGEST),
    )


def _text(table: CheckedTable, key: str, longest: int) -> str:
    return printable(table.text(key), longest)


def _text_or_none(table: CheckedTable, key: str, longest: int = LONGEST_NAME) -> str | None:
    return _text(table, key, longest) if key in table else None


def _number(table: CheckedTable, key: str, *, least: float = -LARGEST) -> float | None:
    return table.number(key, least=least, most=LARGEST) if key in table else None
