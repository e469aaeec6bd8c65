"""The flags of a brew by kind, so that nothing is reported twice."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.units import Seconds
from pourcoach.wording import RECORDS, flag_title, flag_words

NOT_THE_HAND = frozenset(kind for kind, record in RECORDS.items() if not record.gravity)
"""Kinds that a review never leads with: they are no fault of the hand."""


@dataclass(frozen=True, slots=True)
class NotedFlag:
    """One flag: when, where, how sure, and what was measured."""

    flag: Flag
    head: str
    measured: str


@dataclass(frozen=True, slots=True)
class Noted:
    """All flags of one kind."""

    kind: FlagKind
    title: str
    findings: tuple[NotedFlag, ...]
    """Oldest first; at least one."""
    what_of_it: str
    """What it suggests, what to try, and what the scale cannot know."""

    @property
    def by_hand(self) -> bool:
        """Whether it is a fault of the hand."""
        return self.kind not in NOT_THE_HAND


def noted(flags: Sequence[Flag], brew_start_s: Seconds | None) -> tuple[Noted, ...]:
    """The flags by kind: the hand's own first, in order of time, then those of the platform and
    the link. Times count from the first water.
    """
    by_kind: defaultdict[FlagKind, list[Flag]] = defaultdict(list)
    for flag in sorted(flags, key=lambda flag: flag.kind in NOT_THE_HAND):
        by_kind[flag.kind].append(flag)
    return tuple(_noted(kind, own, brew_start_s or 0.0) for kind, own in by_kind.items())


def _noted(kind: FlagKind, own: Sequence[Flag], brew_start_s: Seconds) -> Noted:
    words = flag_words(own[0])
    return Noted(
        kind,
        flag_title(kind),
        tuple(
            NotedFlag(flag, _head(flag, brew_start_s), flag_words(flag).measured)
            for flag in sorted(own, key=lambda flag: flag.start_s)
        ),
        " ".join(part for part in (words.suggests, words.try_this, words.unknown) if part),
    )


def _head(flag: Flag, brew_start_s: Seconds) -> str:
    stage = "" if flag.stage is None else f" {flag.stage}"
    return f"{clock(flag.start_s - brew_start_s)}{stage}, {100 * flag.confidence:.0f} % sure"
