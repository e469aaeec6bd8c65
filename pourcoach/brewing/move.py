"""The six things that a brewer can change, and the one step at a time that is made with each."""

from enum import Enum


class Variable(Enum):
    """The six variables of brewing, as the trade teaches them (common practice)."""

    TEMPERATURE = "temperature"
    TIME = "time"
    TURBULENCE = "turbulence"
    RATIO = "ratio"
    GRIND = "grind"
    PRESSURE = "pressure"


class Move(Enum):
    """One variable, one direction. The steps are common practice."""

    HOTTER = "hotter"
    COOLER = "cooler"
    LONGER = "longer"
    SHORTER = "shorter"
    LIVELIER = "livelier"
    CALMER = "calmer"
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
    def how(self) -> str:
        """The step, as an instruction."""
        return _MOVES[self][1]

    @property
    def should(self) -> str:
        """What it should do."""
        return _MOVES[self][2]

    @property
    def back(self) -> "Move":
        """The same variable the other way."""
        return next(move for move in Move if move.variable is self.variable and move is not self)


_MORE = "more extraction"
_LESS = "less extraction"

_MOVES: dict[Move, tuple[Variable, str, str]] = {
    Move.HOTTER: (Variable.TEMPERATURE, "brew 2 °C hotter", f"{_MORE}, a little faster draw"),
    Move.COOLER: (Variable.TEMPERATURE, "brew 2 °C cooler", f"{_LESS}, a little slower draw"),
    Move.LONGER: (Variable.TIME, "wait 10 s longer between pours", f"longer contact, {_MORE}"),
    Move.SHORTER: (Variable.TIME, "wait 10 s less between pours", f"shorter contact, {_LESS}"),
    Move.LIVELIER: (
        Variable.TURBULENCE,
        "pour from a little higher, the stream still whole, in one pour more",
        f"better mixing of the bed, {_MORE}",
    ),
    Move.CALMER: (
        Variable.TURBULENCE,
        "pour lower and slower in even circles, and leave the bed unstirred",
        "a more even bed, fewer fines washed down, less harshness",
    ),
    Move.LESS_WATER: (
        Variable.RATIO,
        "use one part less water (1:16 becomes 1:15)",
        "a stronger cup, a little less extraction",
    ),
    Move.MORE_WATER: (
        Variable.RATIO,
        "use one part more water (1:16 becomes 1:17)",
        "a weaker cup, a little more extraction",
    ),
    Move.FINER: (Variable.GRIND, "grind one step finer", f"slower draw, {_MORE}"),
    Move.COARSER: (Variable.GRIND, "grind one step coarser", f"faster draw, {_LESS}"),
    Move.HIGHER_LEVEL: (
        Variable.PRESSURE,
        "let the water stand higher: fewer, larger pours",
        f"faster draw, {_LESS}",
    ),
    Move.LOWER_LEVEL: (
        Variable.PRESSURE,
        "let the water stand lower: more, smaller pours",
        f"slower draw, {_MORE}",
    ),
}
