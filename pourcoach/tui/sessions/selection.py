"""Which brews the list holds, which one is picked, and which are marked."""

from collections.abc import Iterable

from pourcoach.library.records import Brew
from pourcoach.tui.sessions.order import ORDERS, Order, in_order


class BrewSelection:
    """What is picked stays picked while the list changes around it."""

    def __init__(self) -> None:
        self.brews: list[Brew] = []
        """As they stand in the list."""
        self.at = 0
        """Index of the one that is picked."""
        self.marked: frozenset[int] = frozenset()
        """Numbers of those to be compared, tagged or deleted together."""
        self.order = Order.WHEN

    @property
    def picked(self) -> Brew | None:
        """None in an empty list."""
        return self.brews[self.at] if self.at < len(self.brews) else None

    @property
    def chosen(self) -> list[Brew]:
        """Those marked, as they stand in the list; else the one that is picked."""
        marked = [brew for brew in self.brews if brew.number in self.marked]
        return marked or [brew for brew in [self.picked] if brew is not None]

    def is_picked(self, number: int) -> bool:
        """Whether it is the brew of that number that is picked."""
        return self.picked is not None and self.picked.number == number

    def take(self, brews: Iterable[Brew]) -> None:
        """Hold these from now on."""
        picked = self.picked
        self.brews = in_order(brews, self.order)
        numbers = [brew.number for brew in self.brews]
        self.marked &= set(numbers)
        if picked is not None and picked.number in numbers:
            self.at = numbers.index(picked.number)
        self.go_to(self.at)

    def go_to(self, index: int) -> bool:
        """Pick the nearest there is; whether it is another one."""
        before, self.at = self.at, max(0, min(index, len(self.brews) - 1))
        return before != self.at

    def mark(self) -> None:
        """Mark the one that is picked, or not any more."""
        if self.picked is not None:
            self.marked ^= {self.picked.number}

    def sort_otherwise(self) -> None:
        """By the next of ORDERS."""
        self.order = ORDERS[(ORDERS.index(self.order) + 1) % len(ORDERS)]
        self.take(self.brews)
