"""Flags of the scale: touches and gaps in the readings, which are no faults of the brewer."""

from collections.abc import Sequence
from dataclasses import replace
from math import inf

from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.estimate import Estimate, EventKind, PlatformEvent
from pourcoach.domain.inputs import Input, Reading
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import StagePour
from pourcoach.domain.units import Grams, Seconds

JOIN_S: Seconds = 2.0
"""Signs closer together than this are one disturbance."""
NOTICED_S: Seconds = 1.5
"""A touch or a lift is recognised at most so long after its first sign."""
DISTURBED = 0.95
"""Confidence of a disturbance."""
SURE = 0.99
"""Confidence of a gap, which is seen and not inferred."""

_VESSELS = (EventKind.LIFTED, EventKind.PLACED, EventKind.RETURNED)
_TOUCHES = (EventKind.KNOCK, EventKind.LEAN, EventKind.UNSEEN_WATER)
"""Water comes unseen under a touch, too, or else in an outage, with which it begins."""


class PlatformWatch:
    """Notes disturbances and gaps while a brew runs."""

    def __init__(self, limits: FlagLimits) -> None:
        self._limits = limits
        self._flags: list[Flag] = []
        self._held = False
        self._newest: PlatformEvent | None = None
        self._reading_s: Seconds | None = None
        self._gap: int | None = None
        self._disturbed: int | None = None

    @property
    def flags(self) -> list[Flag]:
        """All flags but a disturbance of this moment, which may turn out to be the lift at the
        end."""
        return [
            flag
            for index, flag in enumerate(self._flags)
            if not (self._held and index == self._disturbed)
        ]

    def feed(
        self, item: Input, estimate: Estimate, stage: str | None, *, brewing: bool, lifted: bool
    ) -> bool:
        """Take one input; return whether a flag came or changed.

        ``lifted``: something taken off the scale is not back, which is one disturbance from lift to
        return.
        """
        changed = False
        if brewing:
            changed = self._watch_silence(item, stage)
            if lifted or estimate.disturbance is not None:
                self._note_disturbance(item.t_s, self._jumped(estimate), stage)
                changed = True
        held = brewing and (lifted or (self._disturbed is not None and self._is_fresh(item.t_s)))
        if held is not self._held:
            self._held, changed = held, True
        if isinstance(item, Reading):
            self._reading_s, self._gap = item.t_s, None
        return changed

    def forget_from(self, t_s: Seconds) -> None:
        """Forget disturbances from the end of the brew at ``t_s`` on, since they were the end
        itself."""
        self._flags = [
            replace(flag, end_s=min(flag.end_s, t_s))
            for flag in self._flags
            if flag.start_s < t_s - NOTICED_S
        ]
        # The brewer may take the end back, and what comes then is noted afresh.
        self._gap = self._disturbed = None
        self._held = False

    def forget(self) -> None:
        """Forget all flags, since the brew has not begun."""
        if self._flags:
            self._flags = []
            self._gap = self._disturbed = None
            self._held = False

    def _is_fresh(self, t_s: Seconds) -> bool:
        """Whether the last sign of a disturbance is so new that a lift would not yet be known."""
        last = None if self._disturbed is None else self._flags[self._disturbed]
        return last is not None and t_s - last.end_s < NOTICED_S

    def _watch_silence(self, item: Input, stage: str | None) -> bool:
        since_s = self._reading_s
        if since_s is None or item.t_s - since_s <= self._limits.gap_s:
            return False
        flag = Flag(FlagKind.GAP, since_s, item.t_s, stage, SURE, {"lasted_s": item.t_s - since_s})
        if isinstance(item, Reading):
            flag = replace(flag, refined=True)
        if self._gap is None:
            self._gap = len(self._flags)
            self._flags.append(flag)
        else:
            self._flags[self._gap] = flag
        return True

    def _jumped(self, estimate: Estimate) -> Grams:
        """By how much the newest vessel has moved the level, the first time it is asked."""
        newest = estimate.events[-1] if estimate.events else None
        if newest is None or newest is self._newest:
            return 0.0
        self._newest = newest
        return newest.change_g if newest.kind in _VESSELS else 0.0

    def _note_disturbance(self, t_s: Seconds, jump_g: Grams, stage: str | None) -> None:
        if self._disturbed is not None:
            flag = self._flags[self._disturbed]
            if t_s - flag.end_s < JOIN_S:
                evidence = {
                    "lasted_s": t_s - flag.start_s,
                    "jump_g": flag.evidence["jump_g"] + jump_g,
                }
                self._flags[self._disturbed] = replace(flag, end_s=t_s, evidence=evidence)
                return
        self._disturbed = len(self._flags)
        evidence = {"lasted_s": 0.0, "jump_g": jump_g}
        self._flags.append(Flag(FlagKind.DISTURBED, t_s, t_s, stage, DISTURBED, evidence))


def with_first_gap(
    flags: Sequence[Flag], events: Sequence[PlatformEvent], first: StagePour, limits: FlagLimits
) -> list[Flag]:
    """Return the flags with the gap in which the brew's ``first`` stage began, when none was noted
    yet."""
    noted_s = min((flag.start_s for flag in flags if flag.kind is FlagKind.GAP), default=inf)
    gaps = [
        Flag(
            kind=FlagKind.GAP,
            start_s=one.start_s,
            end_s=one.end_s,
            stage=first.stage,
            confidence=SURE,
            evidence={"lasted_s": one.end_s - one.start_s},
            refined=True,
        )
        for one in events
        if one.kind is EventKind.OUTAGE
        and one.end_s is not None
        and one.start_s <= first.start_s <= one.end_s < noted_s
        and one.end_s - one.start_s > limits.gap_s
    ]
    return [*gaps, *flags]


def with_whole_touches(flags: Sequence[Flag], events: Sequence[PlatformEvent]) -> list[Flag]:
    """Return the flags with each disturbance as long as the touches in it turned out to be: live it
    begins only when it is noticed."""
    outages = [one for one in events if one.kind is EventKind.OUTAGE]
    touches = [
        one
        for one in events
        if one.kind in _TOUCHES and not any(one.start_s == it.start_s for it in outages)
    ]
    return [_whole(one, touches) if one.kind is FlagKind.DISTURBED else one for one in flags]


def _whole(flag: Flag, touches: Sequence[PlatformEvent]) -> Flag:
    start_s, end_s = flag.start_s, flag.end_s
    for touch in touches:
        until_s = touch.start_s if touch.end_s is None else touch.end_s
        if touch.start_s <= flag.end_s and until_s >= flag.start_s - NOTICED_S:
            start_s, end_s = min(start_s, touch.start_s), max(end_s, until_s)
    if (start_s, end_s) == (flag.start_s, flag.end_s):
        return flag
    evidence = {**flag.evidence, "lasted_s": end_s - start_s}
    return replace(flag, start_s=start_s, end_s=end_s, evidence=evidence)
