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
    error_at_chance: float
    """The same if the judges agreed by chance alone: for testing that."""
    brews: float

    @property
    def interval(self) -> tuple[float, float]:
        """95 %, kept within what kappa can be; too narrow where brews are few."""
        half = NORMAL_95 * self.error
        return max(-1.0, self.kappa - half), min(1.0, self.kappa + half)

    @property
    def z(self) -> float:
        """Of the test against chance."""
        return self.kappa / self.error_at_chance


def quadratic_weights(grades: int) -> Table:
    """1 for the same grade, less with the square of the distance, 0 for the farthest two."""
    return _weights(grades, 2)


def linear_weights(grades: int) -> Table:
    """1 for the same grade, less with the distance, 0 for the farthest two."""
    return _weights(grades, 1)


def same_only(grades: int) -> Table:
    """Only the same grade counts: the unweighted kappa."""
    return [[float(row == column) for column in range(grades)] for row in range(grades)]


def _weights(grades: int, power: int) -> Table:
    return [
        [1 - (abs(row - column) / (grades - 1)) ** power for column in range(grades)]
        for row in range(grades)
    ]


def counted(first: Sequence[int], second: Sequence[int], grades: int) -> Table:
    """The table of two judges' grades, each from 0 to ``grades`` - 1, of the same brews."""
    table = [[0.0] * grades for _ in range(grades)]
    for row, column in zip(first, second, strict=True):
        table[row][column] += 1
    return table


def agreement(counts: Table, weights: Table | None = None) -> Agreement | None:
    """Weighted kappa of a table of counts, with quadratic weights by default.

    None where it does not exist: no brew, or all of them given one and the same grade by both.
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
    by_chance = sum(
        rows[i] * columns[j] * (weights[i][j] - of_row[i] - of_column[j]) ** 2 for i, j in cells
    )
    left = 1 - expected
    return Agreement(
        (observed - expected) / left,
        math.sqrt(max(variance, 0.0) / total) / left**2,
        math.sqrt(max(by_chance - expected**2, 0.0) / total) / left,
        total,
    )
