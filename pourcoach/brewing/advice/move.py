"""The six things that a brewer can change, and the steps that are made with each."""

from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.errors import UsageError


class Variable(Enum):
    """The six variables of brewing, as the trade teaches them (common practice)."""

    TEMPERATURE = "temperature"
    TIME = "time"
    TURBULENCE = "turbulence"
    RATIO = "ratio"
    GRIND = "grind"
    PRESSURE = "pressure"

    @property
    def divides(self) -> bool:
        """Whether half a step of it can be made."""
        return self not in (Variable.TURBULENCE, Variable.PRESSURE)


class Move(Enum):
    """One variable, one direction, and nothing else with it. The steps are common practice."""

    HOTTER = "hotter"
    COOLER = "cooler"
    LONGER = "longer"
    SHORTER = "shorter"
    MORE_TURBULENCE = "more-turbulence"
    LESS_TURBULENCE = "less-turbulence"
    LESS_WATER = "less-water"
    MORE_WATER = "more-water"
    FINER = "finer"
    COARSER = "coarser"
    HIGHER_LEVEL = "higher-level"
    LOWER_LEVEL = "lower-level"

    @property
    def variable(self) -> Variable:
        """What it changes."""
        return _MOVES[self][0]

    @property
    def should(self) -> str:
        """What it should do."""
        return _MOVES[self][3]

    @property
    def sign(self) -> int:
        """Which way along its variable: 1 or -1."""
        return _MOVES[self][1]

    @property
    def back(self) -> "Move":
        """The same variable the other way."""
        return next(move for move in Move if move.variable is self.variable and move is not self)


HALF, ONE, TWO = 0.5, 1.0, 2.0
_SIZES = {"half-": HALF, "": ONE, "double-": TWO}


@dataclass(frozen=True, slots=True)
class Change:
    """A move of a certain size."""

    move: Move
    steps: float = ONE
    """Half a step, one or two at once; one only where the variable does not divide."""

    @property
    def name(self) -> str:
        """``finer``, ``half-finer`` or ``double-finer``, as ``change`` reads it."""
        prefix = next(prefix for prefix, steps in _SIZES.items() if steps == self.steps)
        return prefix + self.move.value

    @property
    def how(self) -> str:
        """The step, as an instruction."""
        text, size = _MOVES[self.move][2], self.steps
        return text.format(
            step={HALF: "half a step", ONE: "one step", TWO: "two steps"}[size],
            part={HALF: "half a part", ONE: "one part", TWO: "two parts"}[size],
            less=f"1:{16 - size:g}",
            more=f"1:{16 + size:g}",
            degrees=f"{2 * size:g} °C",
            seconds=f"{10 * size:g} s",
        )

    @property
    def along(self) -> float:
        """How far along its variable, with its sign."""
        return self.move.sign * self.steps

    @property
    def back(self) -> "Change":
        """The same as far the other way."""
        return Change(self.move.back, self.steps)


def move_along(variable: Variable, along: float) -> Move:
    """The move of that variable that goes that way."""
    return next(
        move for move in Move if move.variable is variable and (move.sign > 0) == (along > 0)
    )


def change(word: str) -> Change:
    """The change of that name. Raises UsageError listing the known moves."""
    plain = word.strip().lower()
    moves = {move.value: move for move in Move}
    for prefix, steps in _SIZES.items():
        move = moves.get(plain.removeprefix(prefix) if prefix else plain)
        if move is not None and plain == prefix + move.value:
            if steps != ONE and not move.variable.divides:
                raise UsageError(f"{move.value} has no {prefix}step", f"say {move.value}")
            return Change(move, steps)
    raise UsageError(
        f"unknown change {word!r}",
        "known ones are " + ", ".join(moves) + ", each also as half-… or double-…",
    )


NOTHING = "nothing"
"""Said where nothing was changed, which is not the same as nothing being known of it."""


def changes_in(words: list[str]) -> tuple[Change, ...]:
    """The changes of those names; none for ``nothing``. Raises UsageError."""
    if [word.strip().lower() for word in words] == [NOTHING]:
        return ()
    return tuple(change(word) for word in words)


_MORE = "more extraction"
_LESS = "less extraction"

# Variable, way along it, the instruction, what it should do.
_MOVES: dict[Move, tuple[Variable, int, str, str]] = {
    Move.HOTTER: (
        Variable.TEMPERATURE, 1, "brew {degrees} hotter", f"{_MORE}, a little faster draw",
    ),
    Move.COOLER: (
        Variable.TEMPERATURE, -1, "brew {degrees} cooler", f"{_LESS}, a little slower draw",
    ),
    Move.LONGER: (
        Variable.TIME, 1, "wait {seconds} longer between pours", f"longer contact, {_MORE}",
    ),
    Move.SHORTER: (
        Variable.TIME, -1, "wait {seconds} less between pours", f"shorter contact, {_LESS}",
    ),
    Move.MORE_TURBULENCE: (
        Variable.TURBULENCE,
        1,
        "pour from a little higher, the stream still whole",
        f"better mixing of the bed, {_MORE}",
    ),
    Move.LESS_TURBULENCE: (
        Variable.TURBULENCE,
        -1,
        "pour from lower, close over the bed",
        "a more even bed, fewer fines washed down, less harshness",
    ),
    Move.LESS_WATER: (
        Variable.RATIO,
        -1,
        "use {part} of water less (1:16 becomes {less})",
        "a stronger cup, a little less extraction",
    ),
    Move.MORE_WATER: (
        Variable.RATIO,
        1,
        "use {part} of water more (1:16 becomes {more})",
        "a weaker cup, a little more extraction",
    ),
    Move.FINER: (Variable.GRIND, 1, "grind {step} finer", f"a slower draw, {_MORE}"),
    Move.COARSER: (Variable.GRIND, -1, "grind {step} coarser", f"a faster draw, {_LESS}"),
    Move.HIGHER_LEVEL: (
        Variable.PRESSURE,
        -1,
        "pour the same water in one pour fewer, so that it stands higher",
        f"a faster draw, {_LESS}",
    ),
    Move.LOWER_LEVEL: (
        Variable.PRESSURE,
        1,
        "pour the same water in one pour more, so that it stands lower",
        f"a slower draw, {_MORE}",
    ),
}  # fmt: skip
