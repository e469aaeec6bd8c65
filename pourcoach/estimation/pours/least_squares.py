"""Small symmetric systems, solved in plain Python."""

from collections.abc import Sequence


def solve(
    matrix: Sequence[Sequence[float]], right: Sequence[float]
) -> tuple[list[float], list[list[float]]] | None:
    """``x`` of ``matrix x = right``, and the inverse of ``matrix``.

    ``matrix`` is symmetric and positive definite; None where it is not. By Cholesky's
    factorisation (Golub & Van Loan, "Matrix Computations", section 4.2).
    """
    n = len(right)
    low = [[0.0] * n for _ in range(n)]
    for i in range(n):
        for j in range(i + 1):
            rest = matrix[i][j] - sum(low[i][k] * low[j][k] for k in range(j))
            if i == j:
                if rest <= 0.0:
                    return None
                low[i][i] = rest**0.5
            else:
                low[i][j] = rest / low[j][j]
    inverse = [_back(low, [float(i == j) for i in range(n)]) for j in range(n)]
    return _back(low, right), inverse


def _back(low: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    n = len(right)
    y = [0.0] * n
    for i in range(n):
        y[i] = (right[i] - sum(low[i][k] * y[k] for k in range(i))) / low[i][i]
    for i in reversed(range(n)):
        y[i] = (y[i] - sum(low[k][i] * y[k] for k in range(i + 1, n))) / low[i][i]
    return y
