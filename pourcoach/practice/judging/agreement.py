"""How far two judges agree on grades, beyond what chance would give."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from pourcoach.statistics.normal_and_t import NORMAL_95

Table: TypeAlias = Sequence[Sequence[float]]
"""Square: a row for each grade of one judge, a column for each of the other."""


@dataclass(frozen=True, slots=True)
class Agreement:
    """Weighted kappa (Cohen 1968): 1 is full agreement, 0 that of chance."""

    kappa: float
    error: float
    """Standard error (Fleiss, Cohen and Everitt 1969)."""

    @property
    def interval(self) -> tuple[float, float]:
        """95 %, kept within what kappa can be; too narrow where brews are few."""
        half = NORMAL_95 * self.error
        return max(-1.0, self.kappa - half), min(1.0, self.kappa + half)


def quadratic_weights(grades: int) -> Table:
    """1 for the same grade, less with the square of the distance, 0 for the farthest two.

    ``grades`` is at least 2.
    """
    return [
        [1 - ((row - column) / (grades - 1)) ** 2 for column in range(grades)]
        for row in range(grades)
    ]


def counted(first: Sequence[int], second: Sequence[int], grades: int) -> Table:
    """How often each pair of grades was given: ``first`` and ``second`` hold two judges' grades of
    the same things in the same order, each from 0 to ``grades`` - 1.

    Raises ValueError where one holds more of them.
    """
    table = [[0.0] * grades for _ in range(grades)]
    for row, column in zip(first, second, strict=True):
        table[row][column] += 1
    return table


def agreement(counts: Table, weights: Table | None = None) -> Agreement | None:
    """Weighted kappa of a table of counts, with quadratic weights by default.

    Each of ``weights`` is at most 1, and 1 on the diagonal. None where kappa does not exist:
    nothing was counted, or both judges gave one and the same grade throughout.
    """
    size = len(counts)
    weights = quadratic_weights(size) if weights is None else weights
    total = sum(map(sum, counts))
    if not total:
        return None
    share = [[count / total for count in row] for row in counts]
    rows = [sum(row) for row in share]
    columns = [sum(column) for column in zip(*share, strict=True)]
    cells = [(i, j) for i in range(size) for j in range(size)]
    observed = sum(weights[i][j] * share[i][j] for i, j in cells)
    expected = sum(weights[i][j] * rows[i] * columns[j] for i, j in cells)
    if math.isclose(expected, 1.0):
        return None
    of_row = [sum(weights[i][j] * columns[j] for j in range(size)) for i in range(size)]
    of_column = [sum(weights[i][j] * rows[i] for i in range(size)) for j in range(size)]
    spread = sum(
        share[i][j]
        * (weights[i][j] * (1 - expected) - (of_row[i] + of_column[j]) * (1 - observed)) ** 2
        for i, j in cells
    )
    variance = spread - (observed * expected - 2 * expected + observed) ** 2
    left = 1 - expected
    return Agreement(
        (observed - expected) / left,
        math.sqrt(max(variance, 0.0) / total) / left**2,
    )
