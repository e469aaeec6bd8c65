"""How a figure came about: what ``--why`` and a screen's explanation show."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Working:
    """One step of reckoning."""

    formula: str
    put_in: str
    """The same formula with the numbers put in, and the result."""
    source: str
    """A paper, a standard, a law of nature, or "common practice"."""

    def lines(self) -> list[str]:
        """As text."""
        return [self.formula, f"  {self.put_in}", f"  source: {self.source}"]
