"""One recording watched for a fault, and what many of them say of the watcher."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from statistics import median
from typing import Any, Self

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.number import number_in
from pourcoach.domain.units import Seconds
from pourcoach.practice.spotting.quest_plus import QuestPlus, Threshold
from pourcoach.practice.spotting.signal_detection import Sensitivity, sensitivity

GRACE_S: Seconds = 3.0
"""After a fault's end, of the watcher's own time: to see that it was one and to press. Recognition
takes some 0.4 s (Laming 1968), and a stage that ends short is known only after a while."""
SURE = 0.97
"""Confidence from which on a finding of the program's own serves as truth."""
LEVELS_DB = tuple(1.5 * step for step in range(-8, 9))
"""Sizes that a fault may have, in decibels of its size over the limit from which the program notes
it: 0 is the limit, 6 is twice as large."""
_THRESHOLDS_DB = tuple(float(level) for level in range(-18, 19))
_SLOPES = (1.5, 2.5, 3.5, 5.0)
_GUESSES = (0.02, 0.1, 0.25)
_LAPSE = 0.04
MOST_PRESSES = 100


class SpotKind(Enum):
    """What can be wrong, in the order of its number key."""

    UNEVEN = "uneven"
    STALL = "stall"
    SURGE = "surge"
    OFF_MARK = "off its mark"
    WRONG_TIME = "wrong time"
    TOUCHED = "touched"


KINDS = tuple(SpotKind)
_OF_FLAG: Mapping[FlagKind, SpotKind] = {
    FlagKind.UNEVEN: SpotKind.UNEVEN,
    FlagKind.STALL: SpotKind.STALL,
    FlagKind.SURGE: SpotKind.SURGE,
    FlagKind.OVERSHOOT: SpotKind.OFF_MARK,
    FlagKind.SHORT: SpotKind.OFF_MARK,
    FlagKind.BLOOM_LIGHT: SpotKind.OFF_MARK,
    FlagKind.BLOOM_HEAVY: SpotKind.OFF_MARK,
    FlagKind.BLOOM_SHORT: SpotKind.WRONG_TIME,
    FlagKind.BLOOM_LONG: SpotKind.WRONG_TIME,
    FlagKind.EARLY: SpotKind.WRONG_TIME,
    FlagKind.LATE: SpotKind.WRONG_TIME,
    FlagKind.DISTURBED: SpotKind.TOUCHED,
}


def kind_of(flag: FlagKind) -> SpotKind | None:
    """What a watcher would call it; None for what is not to be seen in a curve."""
    return _OF_FLAG.get(flag)


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch of the recording in which a press means one thing."""

    start_s: Seconds
    end_s: Seconds
    """Times are on the tape."""
    kind: SpotKind | None = None
    """The fault in it; None where nothing is wrong."""


@dataclass(frozen=True, slots=True)
class TrialPress:
    """The watcher said that something is wrong."""

    t_s: Seconds
    """On the tape."""
    named: SpotKind | None = None
    """What they called it; None where they did not."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One recording as it was watched."""

    windows: tuple[Window, ...]
    presses: tuple[TrialPress, ...] = ()
    level_db: float | None = None
    """Size of its one fault; None without one, and where it was not ordered."""
    simulated: bool = True
    """Whether the truth is known; else it is the program's own findings."""
    speed: float = 1.0
    """How many times as fast as the clock it was played."""

    def as_dict(self) -> dict[str, Any]:
        """For a line of JSON."""
        return {
            "windows": [
                [w.start_s, w.end_s, None if w.kind is None else w.kind.value] for w in self.windows
            ],
            "presses": [[p.t_s, None if p.named is None else p.named.value] for p in self.presses],
            "level_db": self.level_db,
            "simulated": self.simulated,
            "speed": self.speed,
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Raises ValueError, TypeError, KeyError or UsageError for what is no trial."""
        level = data.get("level_db")
        return cls(
            tuple(
                Window(_number(start), _number(end), None if kind is None else SpotKind(kind))
                for start, end, kind in data["windows"]
            ),
            tuple(
                TrialPress(_number(t_s), None if named is None else SpotKind(named))
                for t_s, named in data["presses"][:MOST_PRESSES]
            ),
            None if level is None else _number(level),
            data.get("simulated") is True,
            number_in(data.get("speed", 1.0), "the speed", least=0.01, most=100.0),
        )

    def pressed_in(self, window: Window) -> TrialPress | None:
        """The first press that belongs to a window; after a fault there is some grace."""
        for press in self.presses:
            if self._covers(window, press) and (
                window.kind is not None or not self._in_a_fault(press)
            ):
                return press
        return None

    def _covers(self, window: Window, press: TrialPress) -> bool:
        grace_s = GRACE_S * self.speed if window.kind is not None else 0.0
        return window.start_s <= press.t_s <= window.end_s + grace_s

    def _in_a_fault(self, press: TrialPress) -> bool:
        """A late press belongs to the fault before, and is no false alarm of the stage after it."""
        return any(w.kind is not None and self._covers(w, press) for w in self.windows)

    @property
    def hit(self) -> bool | None:
        """Whether its one ordered fault was seen; None without one."""
        faults = [window for window in self.windows if window.kind is not None]
        return self.pressed_in(faults[0]) is not None if len(faults) == 1 else None


@dataclass(frozen=True, slots=True)
class SpotScore:
    """Over many trials."""

    trials: int
    hits: int
    misses: int
    false_alarms: int
    quiet: int
    """Stretches without a fault that were rightly left alone."""
    named_right: int
    """Of the hits."""
    sensitivity: Sensitivity | None
    reaction_s: Seconds | None
    """Median from a fault's beginning to the press, by the watcher's clock; None without a hit."""


def score(trials: Iterable[Trial]) -> SpotScore:
    """Every stretch of every recording counts once."""
    hits = misses = false_alarms = quiet = named = count = 0
    reactions_s: list[float] = []
    for trial in trials:
        count += 1
        for window in trial.windows:
            press = trial.pressed_in(window)
            if window.kind is None:
                false_alarms += press is not None
                quiet += press is None
            elif press is None:
                misses += 1
            else:
                hits += 1
                named += press.named is window.kind
                reactions_s.append((press.t_s - window.start_s) / trial.speed)
    return SpotScore(
        count,
        hits,
        misses,
        false_alarms,
        quiet,
        named,
        sensitivity(hits, hits + misses, false_alarms, false_alarms + quiet),
        median(reactions_s) if reactions_s else None,
    )


class SpotThreshold:
    """The size of fault that a watcher sees at about the middle of their curve."""

    def __init__(self, trials: Sequence[Trial] = ()) -> None:
        """From all that they have watched; only ordered sizes count."""
        self._quest = QuestPlus(
            LEVELS_DB, _THRESHOLDS_DB, slopes=_SLOPES, guesses=_GUESSES, lapse=_LAPSE
        )
        for trial in trials:
            self.take(trial)

    @property
    def next_level_db(self) -> float:
        """Of the fault to be shown next."""
        return self._quest.next_stimulus

    def take(self, trial: Trial) -> None:
        """Learn from one more."""
        if trial.level_db is not None and trial.hit is not None:
            self._quest.answer(trial.level_db, trial.hit)

    def threshold(self) -> Threshold:
        """In decibels of the limit; ``times_limit`` turns them into a size."""
        return self._quest.threshold()


def times_limit(level_db: float) -> float:
    """A size in multiples of the limit from which the program notes it."""
    return float(10 ** (level_db / 20))


def _number(value: object) -> float:
    return number_in(value, "a time", least=-1e6, most=1e6)
