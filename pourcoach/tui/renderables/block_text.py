"""Letters and digits of solid blocks, five rows high: readable from a metre."""

from functools import lru_cache

from pourcoach.tui.renderables.glyphs import Glyphs

ROWS = 5
SMALL_ROWS = 3

# Three strokes wide where that is enough, more for M, N and W. A space is a hole, an x is ink.
_FONT: dict[str, tuple[str, str, str, str, str]] = {
    "A": ("xxx", "x x", "xxx", "x x", "x x"),
    "B": ("xx ", "x x", "xx ", "x x", "xx "),
    "C": ("xxx", "x  ", "x  ", "x  ", "xxx"),
    "D": ("xx ", "x x", "x x", "x x", "xx "),
    "E": ("xxx", "x  ", "xx ", "x  ", "xxx"),
    "F": ("xxx", "x  ", "xx ", "x  ", "x  "),
    "G": ("xxx", "x  ", "x x", "x x", "xxx"),
    "H": ("x x", "x x", "xxx", "x x", "x x"),
    "I": ("x", "x", "x", "x", "x"),
    "J": ("  x", "  x", "  x", "x x", "xxx"),
    "K": ("x x", "x x", "xx ", "x x", "x x"),
    "L": ("x  ", "x  ", "x  ", "x  ", "xxx"),
    "M": ("x   x", "xx xx", "x x x", "x   x", "x   x"),
    "N": ("x  x", "xx x", "x xx", "x  x", "x  x"),
    "O": ("xxx", "x x", "x x", "x x", "xxx"),
    "P": ("xxx", "x x", "xxx", "x  ", "x  "),
    "Q": ("xxxx", "x  x", "x  x", "x xx", "xxxx"),
    "R": ("xxx", "x x", "xx ", "x x", "x x"),
    "S": ("xxx", "x  ", "xxx", "  x", "xxx"),
    "T": ("xxx", " x ", " x ", " x ", " x "),
    "U": ("x x", "x x", "x x", "x x", "xxx"),
    "V": ("x x", "x x", "x x", "x x", " x "),
    "W": ("x   x", "x   x", "x x x", "xx xx", "x   x"),
    "X": ("x x", "x x", " x ", "x x", "x x"),
    "Y": ("x x", "x x", "xxx", " x ", " x "),
    "Z": ("xxx", "  x", " x ", "x  ", "xxx"),
    "0": ("xxx", "x x", "x x", "x x", "xxx"),
    "1": (" x ", "xx ", " x ", " x ", "xxx"),
    "2": ("xxx", "  x", "xxx", "x  ", "xxx"),
    "3": ("xxx", "  x", " xx", "  x", "xxx"),
    "4": ("x x", "x x", "xxx", "  x", "  x"),
    "5": ("xxx", "x  ", "xxx", "  x", "xxx"),
    "6": ("xxx", "x  ", "xxx", "x x", "xxx"),
    "7": ("xxx", "  x", "  x", "  x", "  x"),
    "8": ("xxx", "x x", "xxx", "x x", "xxx"),
    "9": ("xxx", "x x", "xxx", "  x", "xxx"),
    "?": ("xxx", "  x", " xx", "   ", " x "),
    "!": ("x", "x", "x", " ", "x"),
    ".": (" ", " ", " ", " ", "x"),
    ":": (" ", "x", " ", "x", " "),
    "-": ("   ", "   ", "xxx", "   ", "   "),
    "+": ("   ", " x ", "xxx", " x ", "   "),
    "/": ("  x", "  x", " x ", "x  ", "x  "),
    "%": ("x x", "  x", " x ", "x  ", "x x"),
    " ": ("  ", "  ", "  ", "  ", "  "),
}


@lru_cache(maxsize=256)
def block_width(text: str, stroke: int = 2, gap: int = 2) -> int:
    """Columns that ``block_text`` takes for the same arguments."""
    letters = [_letter(character) for character in text]
    return sum(len(letter[0]) * stroke for letter in letters) + gap * max(0, len(letters) - 1)


@lru_cache(maxsize=128)
def block_text(text: str, glyphs: Glyphs, stroke: int = 2, gap: int = 2) -> tuple[str, ...]:
    """``text`` in capitals, ROWS rows of equal width.

    ``stroke`` is how many columns wide an upright is, ``gap`` how many lie between letters.
    What the font has not (no word of the program needs it) is drawn as ``?``.
    """
    letters = [_letter(character) for character in text]
    return tuple(
        (" " * gap).join(
            "".join((glyphs.solid if ink == "x" else " ") * stroke for ink in letter[row])
            for letter in letters
        )
        for row in range(ROWS)
    )


@lru_cache(maxsize=256)
def small_block_text(text: str, glyphs: Glyphs) -> tuple[str, ...]:
    """The same letters in SMALL_ROWS rows of half blocks, one column a stroke.

    A set without half blocks gives plain text, in the middle row.
    """
    if not glyphs.halves:
        return ("", text, "")
    letters = [_letter(character) for character in text]
    halves = {"  ": " ", "x ": glyphs.upper, " x": glyphs.lower, "xx": glyphs.solid}
    rows = []
    for row in range(SMALL_ROWS):
        parts = []
        for letter in letters:
            upper = letter[2 * row]
            lower = letter[2 * row + 1] if 2 * row + 1 < ROWS else " " * len(upper)
            parts.append("".join(halves[a + b] for a, b in zip(upper, lower, strict=True)))
        rows.append(" ".join(parts))
    return tuple(rows)


def _letter(character: str) -> tuple[str, str, str, str, str]:
    return _FONT.get(character.upper(), _FONT["?"])
