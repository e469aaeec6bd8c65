"""What an attack counts."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import TypeAlias

MOST_SHOWN = 5


@dataclass(slots=True)
class Tally:
    """One row of the table."""

    name: str
    tries: int = 0
    failures: list[str] = field(default_factory=list)
    """What failed, each so that it can be tried again."""
    note: str = ""
    """A figure worth seeing beside the row."""

    def tried(self, failure: str | None = None) -> None:
        """One try, and how it failed."""
        self.tries += 1
        if failure is not None:
            self.failures.append(failure)

    def lines(self) -> list[str]:
        """The row, and below it the first failures."""
        row = f"{self.name:<34} {self.tries:>8} {len(self.failures):>8}  {self.note}".rstrip()
        return [row, *(f"    {failure:.300}" for failure in self.failures[:MOST_SHOWN])]


Attack: TypeAlias = Callable[[int, int], Iterator[Tally]]
"""Takes the seed and how large (1 in CI); gives its rows as they are done."""

HEADING = f"{'attack':<34} {'tries':>8} {'failures':>8}"
