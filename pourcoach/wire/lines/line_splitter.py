"""A stream of bytes into lines, however it is cut, holding no more than one line."""

# A checked line with eight corner cells is 150 bytes; no bench scale prints a weight that long.
LONGEST_LINE = 160


class LineSplitter:
    """Lines end with LF, CR or both. Empty lines are passed over."""

    def __init__(self) -> None:
        self._rest = b""
        self._skipping = False

    def feed(self, data: bytes) -> list[bytes | None]:
        """The lines that ``data`` completes, without their ends; None for one too long."""
        *ended, rest = data.replace(b"\r", b"\n").split(b"\n")
        lines: list[bytes | None] = []
        for piece in ended:
            self._take(piece, lines)
            if self._rest:
                lines.append(self._rest)
            self._rest, self._skipping = b"", False
        self._take(rest, lines)
        return lines

    def _take(self, piece: bytes, lines: list[bytes | None]) -> None:
        if self._skipping:
            return
        self._rest += piece
        if len(self._rest) > LONGEST_LINE:
            lines.append(None)
            self._rest, self._skipping = b"", True
