"""Who is served what: random codes and balanced orders, drawn from a seed."""

import random
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.tasting.method import Method

CODES = range(100, 1000)
"""Three digits: no cup is called 1 or A, which would seem the better one (ISO 4120, 5.6)."""
MOST_TASTERS = 1000


@dataclass(frozen=True, slots=True)
class Sheet:
    """What one taster is served, from left to right."""

    taster: int
    """From 1."""
    order: str
    """A letter for each coded cup: A or B."""
    codes: tuple[str, ...]
    """What stands on each cup; as long as ``order``."""
    reference: str | None = None
    """Which sample is the reference, served first and marked R; None where there is none."""

    def sample(self, code: str) -> str | None:
        """A or B; None where no cup of this taster carries ``code``."""
        return self.order[self.codes.index(code)] if code in self.codes else None


def deal(method: Method, tasters: int, seed: int) -> tuple[Sheet, ...]:
    """A sheet for each taster; the same for the same ``seed``.

    Orders are dealt at random in groups in which each occurs once, so that any two of them differ
    by at most one over all tasters. No code comes twice until all 900 were used, and never twice
    for one taster. Raises UsageError for a number of tasters that cannot be served.
    """
    if not 1 <= tasters <= MOST_TASTERS:
        raise UsageError(f"{tasters} tasters cannot be served", f"give 1 to {MOST_TASTERS}")
    # Only random() is promised to give the same in every version of Python.
    chance = random.Random(seed)
    orders: list[str] = []
    codes: list[str] = []
    sheets = []
    for taster in range(1, tasters + 1):
        if not orders:
            orders = sorted(method.orders, key=lambda _: chance.random())
        reference, _, order = orders.pop().rpartition(":")
        if len(codes) < len(order):
            codes = sorted(map(str, CODES), key=lambda _: chance.random())
        served = tuple(codes.pop() for _ in order)
        sheets.append(Sheet(taster, order, served, reference or None))
    return tuple(sheets)
