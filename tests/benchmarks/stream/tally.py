"""What came of some brews, counted against what really happened in them."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.pour import Pour
from pourcoach.simulation.truth import MadeFault, TruePour
from tests.benchmarks.coaching.cases import Case
from tests.benchmarks.coaching.judged import Judged, judge

NO_FAULT = (FlagKind.DISTURBED, FlagKind.GAP)
"""Flags that blame nobody."""
UNKNOWN_S = 1.0
"""So near to a fault a disturbance may lie and still say that nothing is known there."""


@dataclass
class Tally:
    """Over all brews of a row."""

    brews: int = 0
    hours: float = 0.0
    pours: int = 0
    """True ones."""
    found: int = 0
    """Covered to more than half by one reported pour, which covers no other as much."""
    lost: int = 0
    """Met by no reported pour."""
    false_pours: int = 0
    """Reported where no water ran."""
    mass_off_g: list[float] = field(default_factory=list)
    """Of each pour found: reported less true."""
    poured_off_g: list[float] = field(default_factory=list)
    """The same with what was estimated to have gone off as vapour."""
    water_off_g: list[float] = field(default_factory=list)
    """Of each brew, at its end: reported less true."""
    false_flags: Counter[FlagKind] = field(default_factory=Counter)
    """In the end, of faults; disturbances and gaps apart."""
    touches: int = 0
    """Disturbances reported where nothing was done to the platform; that too few readings show the
    flow claims none."""
    ordered: int = 0
    """Faults of the kind that was ordered."""
    seen: int = 0
    """Of these, found."""
    unknown: int = 0
    """Of these, not found, and a disturbance is reported there."""

    @property
    def lost_or_merged(self) -> int:
        """Pours that were not found as what they were."""
        return self.pours - self.found

    @property
    def flags_a_brew(self) -> float:
        """False ones."""
        return self.false_flags.total() / self.brews

    def water_wrong(self, by_g: float) -> int:
        """Brews whose water is off by more."""
        return sum(abs(off_g) > by_g for off_g in self.water_off_g)

    def mass_p95_g(self) -> float:
        """Of all pours found, how far off the water of 95 % is at most."""
        return _p95(self.mass_off_g)

    def poured_p95_g(self) -> float:
        """The same of the water poured, vapour and all."""
        return _p95(self.poured_off_g)

    def add(self, judged: Judged) -> None:
        """Count one more brew."""
        truth, last = judged.brew.truth, judged.last
        reported = [pour for stage in last.pour.stages for pour in stage.pours]
        self.brews += 1
        self.hours += last.t_s / 3600
        self.pours += len(truth.pours)
        for true in truth.pours:
            mine = [pour for pour in reported if _covers(pour, true)]
            alone = mine and sum(_covers(mine[0], other) for other in truth.pours) == 1
            if len(mine) == 1 and alone:
                self.found += 1
                true_g = true.end_g - true.start_g
                self.mass_off_g.append((mine[0].mass_g or 0.0) - true_g)
                self.poured_off_g.append((mine[0].poured_g or 0.0) - true_g)
            self.lost += not any(_common_s(pour, true) > 0 for pour in reported)
        self.false_pours += sum(
            not any(_common_s(pour, true) > 0 for true in truth.pours) for pour in reported
        )
        self.water_off_g.append(last.pour.water_g - truth.poured[-1])
        self.false_flags.update(
            one.flag.kind
            for one in judged.reported
            if not one.true and one.flag.kind not in NO_FAULT
        )
        self.touches += sum(
            not one.true and "unclear_s" not in one.flag.evidence
            for one in judged.reported
            if one.flag.kind is FlagKind.DISTURBED
        )
        seen = [fault for fault, _ in judged.found if fault.kind is judged.case.kind]
        missed = [fault for fault in judged.missed if fault.kind is judged.case.kind]
        self.ordered += len(seen) + len(missed)
        self.seen += len(seen)
        self.unknown += sum(_said_unknown(judged, fault) for fault in missed)


def tally(cases: Iterable[Case]) -> Tally:
    """Simulate, follow and count all of them."""
    counted = Tally()
    for case in cases:
        counted.add(judge(case))
    return counted


def merged(tallies: Sequence[Tally]) -> Tally:
    """All of them as one."""
    whole = Tally()
    for one in tallies:
        for name in Tally.__dataclass_fields__:
            setattr(whole, name, getattr(whole, name) + getattr(one, name))
    return whole


def _p95(off_g: Sequence[float]) -> float:
    off_g = sorted(map(abs, off_g))
    return off_g[int(0.95 * (len(off_g) - 1))] if off_g else 0.0


def _common_s(pour: Pour, true: TruePour) -> float:
    end_s = true.end_s if pour.end_s is None else pour.end_s
    return min(end_s, true.end_s) - max(pour.start_s, true.start_s)


def _covers(pour: Pour, true: TruePour) -> bool:
    return _common_s(pour, true) > 0.5 * (true.end_s - true.start_s)


def _said_unknown(judged: Judged, fault: MadeFault) -> bool:
    return any(
        one.flag.kind is FlagKind.DISTURBED
        and one.flag.start_s < fault.end_s + UNKNOWN_S
        and one.flag.end_s > fault.start_s - UNKNOWN_S
        for one in judged.reported
    )
