"""Whose fault is whose: how often each finding comes with each person of a group."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.advice import FlagKind
from pourcoach.reports.group.group_brew import GroupBrew, oldest_first
from pourcoach.statistics.binomial import interval
from pourcoach.statistics.shares import TwoShares, differ
from pourcoach.wording import RECORDS, flag_title

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Share:
    """How many of a person's brews have a finding."""

    kind: FlagKind
    hits: int
    count: int
    other_hits: int
    """Of the rest of the group."""
    other_count: int
    is_own: bool
    """Whether it comes more often with this person than with the rest, and more than by chance."""

    @property
    def bounds(self) -> tuple[float, float]:
        """Of the share, at 95 % (Clopper & Pearson 1934)."""
        return interval(self.hits, self.count, CONFIDENCE)

    @property
    def text(self) -> str:
        """``4 of 4``."""
        return f"{self.hits} of {self.count}"

    @property
    def bounds_text(self) -> str:
        """``40 to 100 %``."""
        low, high = self.bounds
        return f"{100 * low:.0f} to {100 * high:.0f} %"


@dataclass(frozen=True, slots=True)
class Student:
    """One person of the group."""

    name: str
    brews: tuple[GroupBrew, ...]
    """Oldest first."""
    shares: tuple[Share, ...]
    """In the order of the group's kinds."""

    @property
    def own(self) -> tuple[Share, ...]:
        """What comes more often with this person than with the others."""
        return tuple(share for share in self.shares if share.is_own)

    @property
    def most(self) -> Share | None:
        """What comes most often, the graver first; None where nothing was noted."""
        noted = [share for share in self.shares if share.hits]
        return max(noted, key=rank) if noted else None


@dataclass(frozen=True, slots=True)
class ClassFindings:
    """The whole group."""

    students: tuple[Student, ...]
    """By name."""
    kinds: tuple[FlagKind, ...]
    """All that was noted of any hand, the most frequent first."""
    left_out: int
    """Recordings that are no brews; they count nowhere."""

    @property
    def count(self) -> int:
        """Brews."""
        return sum(len(student.brews) for student in self.students)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What stands out, a sentence each; what is common to all where nothing does."""
        own = [
            f"{student.name}: {flag_title(share.kind).lower()} in {share.text} brews, the others in"
            f" {share.other_hits} of {share.other_count}."
            for student in self.students
            for share in student.own
        ]
        return (*own, *self._common(bool(own)))

    def _common(self, others: bool) -> list[str]:
        if len(self.students) < 2:
            return ["A comparison needs brews of two people or more."]
        if not self.kinds:
            return ["Nothing was noted in any brew."]
        lines = [] if others else ["No finding comes more with one person than chance explains."]
        kind = self.kinds[0]
        hits = [share.hits for one in self.students for share in one.shares if share.kind is kind]
        if all(hits):
            title = flag_title(kind).lower()
            lines.append(f"Everybody has {title}: {sum(hits)} of {self.count} brews.")
        return lines


def class_findings(brews: Sequence[GroupBrew]) -> ClassFindings:
    """Of the brews of a group, each by who made it; small and large letters are one name."""
    poured = [brew for brew in oldest_first(brews) if brew.is_brew]
    names = {brew.by.casefold(): brew.by for brew in poured}
    counts = Counter(kind for brew in poured for kind in brew.kinds)
    kinds = sorted(counts, key=lambda kind: (-counts[kind], -RECORDS[kind].gravity, kind.value))
    own: dict[str, list[GroupBrew]] = {key: [] for key in sorted(names)}
    for brew in poured:
        own[brew.by.casefold()].append(brew)
    by_person = {
        key: Counter(kind for b in brews for kind in b.kinds) for key, brews in own.items()
    }
    pairs = [(key, kind) for key in own for kind in kinds]
    shares = [
        TwoShares(
            by_person[key][kind],
            len(own[key]),
            counts[kind] - by_person[key][kind],
            len(poured) - len(own[key]),
        )
        for key, kind in pairs
    ]
    found = {
        pair: Share(
            pair[1],
            two.hits,
            two.count,
            two.other_hits,
            two.other_count,
            is_own=differs and two.hits * two.other_count > two.other_hits * two.count,
        )
        for pair, two, differs in zip(pairs, shares, differ(shares), strict=True)
    }
    students = tuple(
        Student(names[key], tuple(brews), tuple(found[key, kind] for kind in kinds))
        for key, brews in own.items()
    )
    return ClassFindings(students, tuple(kinds), len(brews) - len(poured))


def rank(share: Share) -> tuple[float, float]:
    """What is worked on first: what comes most often, the graver first."""
    return share.hits / share.count, RECORDS[share.kind].gravity
