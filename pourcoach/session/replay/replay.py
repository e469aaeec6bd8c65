"""A recorded brew in the same screen: the tape's inputs through the same fold, at any speed."""

import asyncio

from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Seconds
from pourcoach.recordings.tape import Tape
from pourcoach.session.clock import Clock
from pourcoach.session.protocols import OnFrame, Skip
from pourcoach.session.replay.folded_tape import FoldedTape
from pourcoach.session.replay.skips import skip_to
from pourcoach.wording import trouble_sentence

SPEEDS = (0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0)
# How often the replay looks at its clock; faster than any screen draws.
BEAT_S: Seconds = 0.02
# The fold runs ahead of what is shown, so that all findings are known and winding is at once. It
# holds the loop no longer than this at a time, and then lets it do everything else.
SLICE_S: Seconds = 0.008
REST_S: Seconds = 0.002


class ReplaySession:
    """One replay. The screen calls the plain methods; ``run`` does the work."""

    def __init__(self, tape: Tape, speed: float = 1.0, from_s: Seconds = 0.0) -> None:
        """``from_s`` is where on the tape it begins."""
        self._tape = tape
        self._folded = FoldedTape(tape)
        self._speed = speed
        self._clock = Clock()
        self._paused = False
        self._stopped = False
        self._base_s: Seconds = min(max(0.0, from_s), tape.last_s)
        """Position on the tape when the clock was last read off."""
        self._base_now_s: Seconds = 0.0
        self._shown = 0
        """Frames shown, from the beginning of the tape on."""
        self._newest: Frame | None = None

    @property
    def plan(self) -> Plan | None:
        return self._tape.header.plan

    @property
    def arrangement(self) -> Arrangement:
        return self._tape.header.setup.arrangement

    @property
    def newest(self) -> Frame | None:
        return self._newest

    @property
    def notice(self) -> str | None:
        if self._tape.problem or self._newest is None:
            return self._tape.problem
        return trouble_sentence(self._newest.estimate.traits)

    @property
    def paused(self) -> bool:
        return self._paused

    @property
    def speed(self) -> float:
        return self._speed

    @property
    def duration_s(self) -> Seconds:
        return self._tape.last_s

    @property
    def position_s(self) -> Seconds:
        moved_s = 0.0 if self._paused else (self._clock.now() - self._base_now_s) * self._speed
        return min(self._base_s + moved_s, self.duration_s)

    @property
    def brew_start_s(self) -> Seconds | None:
        reached = self._folded.reached
        return None if reached is None else reached.pour.brew_start_s

    def now(self) -> Seconds:
        return self.position_s

    def main(self) -> None:
        self.pause()

    def pause(self) -> None:
        self._settle(self.position_s)
        self._paused = not self._paused

    def faster(self) -> None:
        self._change_speed(+1)

    def slower(self) -> None:
        self._change_speed(-1)

    def step(self) -> None:
        self._paused = True
        if self._shown < len(self._tape.inputs):
            self._settle(self._tape.inputs[self._shown].t_s)

    def seek(self, by_s: Seconds) -> None:
        self._settle(min(max(0.0, self.position_s + by_s), self.duration_s))

    def skip(self, to: Skip) -> None:
        self._settle(skip_to(to, self._folded.reached, self.position_s, self.duration_s))

    def stop(self) -> None:
        self._stopped = True

    def _settle(self, position_s: Seconds) -> None:
        self._base_s = position_s
        self._base_now_s = self._clock.now()

    def _change_speed(self, by: int) -> None:
        self._settle(self.position_s)
        nearest = min(range(len(SPEEDS)), key=lambda index: abs(SPEEDS[index] - self._speed))
        self._speed = SPEEDS[min(max(0, nearest + by), len(SPEEDS) - 1)]

    async def run(self, on_frame: OnFrame) -> Frame | None:
        """As promised by Session; one that is stopped before its end gives the Frame it reached."""
        folded = self._folded
        if folded.last is not None and self._newest is folded.last:
            self._show_last_before(self.position_s, on_frame)
        while not self._stopped:
            until_s = self._clock.now() + SLICE_S
            self._show_up_to(self.position_s, until_s, on_frame)
            while not folded.complete and self._clock.now() < until_s:
                folded.fold()
            at_end = folded.complete and self._shown == len(folded.frames)
            if at_end and self.position_s >= self.duration_s and not self._paused:
                break
            due = folded.count_until(self.position_s)
            await asyncio.sleep(BEAT_S if folded.complete and self._shown == due else REST_S)
        if not self._stopped and folded.last is not None:
            self._newest = folded.last
            on_frame(folded.last)
        return self._newest

    def _show_up_to(self, position_s: Seconds, until_s: Seconds, on_frame: OnFrame) -> None:
        """Show what is due by now, in order; after a seek back the one Frame of that moment."""
        due = self._folded.count_until(position_s)
        if due < self._shown:
            self._show_last_before(position_s, on_frame)
        while self._shown < due and self._clock.now() < until_s:
            self._shown += 1
            self._show(on_frame)

    def _show_last_before(self, position_s: Seconds, on_frame: OnFrame) -> None:
        """The first reading stays in sight even where the position lies before it."""
        shown = max(1, self._folded.count_until(position_s))
        if shown != self._shown or self._newest is self._folded.last:
            self._shown = shown
            self._show(on_frame)

    def _show(self, on_frame: OnFrame) -> None:
        self._newest = self._folded.frames[self._shown - 1]
        on_frame(self._newest)
