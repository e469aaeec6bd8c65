"""What the terminal at hand can do."""

import os
import sys
from contextlib import suppress
from typing import Any, TextIO, cast

from pourcoach.domain.printable import printable, printable_lines

# A sentence or two with a path in it; what stood in a broken file is not printed at length.
LONGEST_ERROR = 1000
# Of a word that was typed or read: what follows it in the sentence must not be lost.
LONGEST_WORD = 200


def has_screen() -> bool:
    """Whether standard input and output are a terminal that can be drawn on."""
    return sys.stdout.isatty() and sys.stdin.isatty() and os.environ.get("TERM") != "dumb"


def takes_blocks() -> bool:
    """Whether block and box-drawing characters come through; else plain ASCII is drawn."""
    return (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"


def say_error(error: object) -> None:
    """What went wrong, as one line on standard error, whatever is in it."""
    words = " ".join(
        word if len(word) <= LONGEST_WORD else printable(word, LONGEST_WORD)
        for word in str(error).split(" ")
    )
    # A terminal that is gone takes no words.
    with suppress(OSError):
        print(f"pourcoach: {printable(words, LONGEST_ERROR)}", file=sys.stderr, flush=True)


def to_line_start(stream: TextIO) -> None:
    """Have what is printed next written over the line that is there."""
    PrintableStream.inside(stream).write("\r")


class PrintableStream:
    """A stream that writes nothing which a terminal would obey: text from outside may hold it.

    All that the commands print goes through one; screens draw past it.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    @classmethod
    def around(cls, stream: TextIO) -> TextIO:
        """For a stream's place."""
        return cast("TextIO", cls(stream))

    @staticmethod
    def inside(stream: TextIO) -> TextIO:
        """The stream itself, for what moves the cursor; only for text that comes from nowhere else
        and was checked."""
        return stream._stream if isinstance(stream, PrintableStream) else stream

    def write(self, text: str) -> int:
        self._stream.write(printable_lines(text))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)
