"""A table of texts as lines."""

from collections.abc import Sequence


def in_columns(rows: Sequence[Sequence[str]], *, right: frozenset[int] = frozenset()) -> list[str]:
    """Rows of equal length, each column as wide as its widest text, two blanks between.

    Columns numbered in ``right`` (from 0) are set flush right, the others flush left.
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(
            cell.rjust(width) if number in right else cell.ljust(width)
            for number, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
