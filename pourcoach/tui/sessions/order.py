"""How the list of brews is sorted."""

from collections.abc import Iterable
from enum import Enum
from operator import attrgetter

from pourcoach.library.records import Brew


class Order(Enum):
    """What comes first; within one, the newest."""

    WHEN = "when"
    WHO = "who"
    COFFEE = "coffee"
    VERDICT = "verdict"
    MARKS = "marks"


ORDERS = tuple(Order)


def in_order(brews: Iterable[Brew], order: Order) -> list[Brew]:
    """Sorted so; what is not known comes last. ``brews`` may be in any order."""
    # As the library gives them: the newest first. Sorting keeps the order of equals.
    newest = sorted(brews, key=attrgetter("recorded_s"), reverse=True)
    match order:
        case Order.WHEN:
            return newest
        case Order.MARKS:
            return sorted(newest, key=lambda brew: (brew.marks_of == 0, _missed(brew)))
        case _:
            name = {Order.WHO: "by", Order.COFFEE: "coffee", Order.VERDICT: "headline"}[order]

    def key(brew: Brew) -> tuple[bool, str]:
        value = getattr(brew, name)
        return value is None, (value or "").casefold()

    return sorted(newest, key=key)


def _missed(brew: Brew) -> float:
    """The share of marks not met, the largest first."""
    if not brew.marks_of or brew.marks_met is None:
        return 1.0
    return brew.marks_met / brew.marks_of
