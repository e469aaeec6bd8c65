"""Which pours get help, which get a result, and when the tests come.

The usual schedule follows what was found for other movements: a baseline without help; live help
for beginners only, in one block, then taken away rather than made smaller (Schmidt and Wulf 1997;
a load-tracking task, J Phys Ther Sci 2019, 31:939); results for a share of whole pours that falls
(Winstein and Schmidt 1990); each some seconds after the pour (Swinnen et al. 1990) and after the
student's own estimate. No study of pouring was found, and the field is contested: the benefit of
fewer results was small or uncertain in a later meta-analysis. So it is a default that a trainer can
replace, and each student's own tests decide.
"""

import math
from dataclasses import dataclass
from enum import Enum
from random import Random
from typing import Any, Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.units import Seconds
from pourcoach.practice.level import Level

# Counts of results are rounded up or down so that their mean over seeds is the share: multiples of
# the golden section fall evenly into 0..1 (Weyl), so that even a few seeds come close.
_GOLDEN = (math.sqrt(5) - 1) / 2
LONGEST_DELAY_S: Seconds = 60.0
"""A student who waits longer for a result takes the program for stuck: chosen."""
MOST_IN_BLOCK = 50
"""Some hours of pouring: more is a slip of the pen."""
MOST_COUNTED = 1_000_000
"""Of blocks and pours that a tape may count."""


class Part(Enum):
    """What a pour is for."""

    BASELINE = "baseline"
    """Before any practice, without help or result."""
    BLOCK = "block"
    TEST = "test"
    """24 h or more after practice, without help or result."""
    WEEK_TEST = "week-test"
    TRANSFER_TEST = "transfer-test"
    """Another amount, or another kettle."""
    ASSIST = "assist"
    """No practice: a pour to be served, with all help."""

    @property
    def is_test(self) -> bool:
        """Whether skill may be estimated from it."""
        return self in (Part.TEST, Part.WEEK_TEST, Part.TRANSFER_TEST)


@dataclass(frozen=True, slots=True)
class Place:
    """One pour of a schedule."""

    part: Part
    block: int = 0
    """From 1; 0 outside blocks."""
    pour: int = 1
    """From 1, within its block or test."""
    of: int = 1
    """How many pours the block or test has."""
    live_help: bool = False
    """Weight, flow, curve and cues are shown while the water runs."""
    result: bool = False
    """The result is shown after the pour."""
    delay_s: Seconds = 0.0
    """From the stop to the result, at least."""

    def as_dict(self) -> dict[str, Any]:
        """The tape header's form."""
        return {
            "part": self.part.value,
            "block": self.block,
            "pour": self.pour,
            "of": self.of,
            "live_help": self.live_help,
            "result": self.result,
            "delay_s": self.delay_s,
        }

    @classmethod
    def from_table(cls, table: CheckedTable) -> Self:
        """Raises UsageError for what is none. Keys that are not known are left alone: the tape may
        be from a later version."""
        return cls(
            table.member("part", Part),
            block=table.whole("block", 0, MOST_COUNTED, 0),
            pour=table.whole("pour", 1, MOST_COUNTED, 1),
            of=table.whole("of", 1, MOST_COUNTED, 1),
            live_help=table.flag("live_help", usual=False),
            result=table.flag("result", usual=False),
            delay_s=table.number("delay_s", 0.0, least=0.0, most=LONGEST_DELAY_S),
        )


@dataclass(frozen=True, slots=True)
class Schedule:
    """Whole pours, in blocks."""

    block: int = 5
    """Pours in a block; a summary follows each."""
    shares: tuple[float, ...] = (1.0, 0.67, 0.5, 0.33)
    """Of the pours with a result, block by block; the last goes on."""
    beginners_help: bool = True
    """Whether a beginner has a first block with live help."""
    delay_s: tuple[Seconds, Seconds] = (3.0, 8.0)
    """Shortest and longest from the stop to the result; drawn for each pour."""
    test_pours: int = 4
    """Twice as many in the two tests are enough for an interval."""
    tests: bool = True

    def helped_blocks(self, level: Level) -> int:
        """How many blocks have live help before results begin to be left out."""
        return int(self.beginners_help and level is Level.BEGINNER)

    def share(self, block: int, level: Level) -> float:
        """Of the pours of block 1, 2, … that get a result."""
        number = block - 1 - self.helped_blocks(level)
        return 1.0 if number < 0 else self.shares[min(number, len(self.shares) - 1)]

    def places(self, block: int, level: Level, seed: int) -> tuple[Place, ...]:
        """The pours of block 1, 2, …; equal arguments give equal places."""
        chance = Random(f"{seed} block {block}")
        wanted = self.block * self.share(block, level)
        # Added and not multiplied: blocks of one seed are rounded independently of each other.
        count = int(wanted + (_GOLDEN * seed + block / math.e) % 1.0)
        shown = set(chance.sample(range(self.block), min(count, self.block)))
        live_help = block <= self.helped_blocks(level)
        return tuple(
            Place(
                Part.BLOCK,
                block,
                pour + 1,
                self.block,
                live_help=live_help,
                result=pour in shown,
                delay_s=round(chance.uniform(*self.delay_s), 1),
            )
            for pour in range(self.block)
        )

    def test_places(self, part: Part) -> tuple[Place, ...]:
        """The pours of a test, or the baseline."""
        of = 1 if part is Part.BASELINE else self.test_pours
        return tuple(Place(part, 0, pour + 1, of) for pour in range(of))

    @classmethod
    def from_table(cls, table: CheckedTable) -> Self:
        """Read a drill file's ``[schedule]``; what is absent takes its default.

        Raises UsageError naming what is unknown or impossible.
        """
        usual = cls()
        delays = table.numbers("delay_s", usual.delay_s, least=0.0, most=LONGEST_DELAY_S)
        if len(delays) != 2 or delays[0] > delays[1]:
            raise table.wrong(
                "delay_s", f"is {list(delays)}", "give the shortest and the longest, as [3, 8]"
            )
        schedule = cls(
            block=table.whole("block", 1, MOST_IN_BLOCK, usual.block),
            shares=table.numbers("shares", usual.shares, least=0.0, most=1.0),
            beginners_help=table.flag("beginners_help", usual.beginners_help),
            delay_s=(delays[0], delays[1]),
            test_pours=table.whole("test_pours", 1, MOST_IN_BLOCK, usual.test_pours),
            tests=table.flag("tests", usual.tests),
        )
        table.done()
        return schedule


USUAL = Schedule()
NONE = Schedule(shares=(1.0,), beginners_help=False, tests=False)
"""No schedule: a result after every pour, and no tests."""
