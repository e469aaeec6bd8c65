"""A recorded brew in the same screen: the tape's inputs through the same fold, at any speed."""

import asyncio

from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Seconds
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.tape import Tape
from pourcoach.session.clock import Clock
from pourcoach.session.protocols import OnFrame

SPEEDS = (0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0)
# How often the replay looks at its clock; faster than any screen draws.
BEAT_S: Seconds = 0.02


class ReplaySession:
    """One replay. The screen calls the plain methods; ``run`` does the work."""

    def __init__(self, tape: Tape, speed: float = 1.0) -> None:
        self._tape = tape
        self._speed = speed
        self._clock = Clock()
        self._paused = False
        self._stopped = False
        self._base_s: Seconds = 0.0
        """Position on the tape when the clock was last read off."""
        self._base_now_s: Seconds = 0.0
        self._fed = 0
        self._newest: Frame | None = None
        self._pipeline = self._new_pipeline()
        self._rewound = False

    def _new_pipeline(self) -> Pipeline:
        return Pipeline(self._tape.header.plan, self._tape.header.setup)

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
        return self._tape.problem

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
        if self._fed < len(self._tape.inputs):
            self._settle(self._tape.inputs[self._fed].t_s)

    def seek(self, by_s: Seconds) -> None:
        to_s = min(max(0.0, self.position_s + by_s), self.duration_s)
        if by_s < 0:
            self._rewound = True
        self._settle(to_s)

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
        while not self._stopped and (self.position_s < self.duration_s or self._paused):
            self._feed_up_to_position(on_frame)
            await asyncio.sleep(BEAT_S)
        if not self._stopped:
            self._feed_up_to_position(on_frame)
        if self._newest is None:
            return None
        last = self._pipeline.finish(max(self._newest.t_s, self.position_s))
        self._newest = last
        on_frame(last)
        return last

    def _feed_up_to_position(self, on_frame: OnFrame) -> None:
        if self._rewound:
            self._rewound = False
            self._pipeline = self._new_pipeline()
            self._fed = 0
        inputs = self._tape.inputs
        position_s = self.position_s
        while self._fed < len(inputs) and inputs[self._fed].t_s <= position_s:
            self._newest = self._pipeline.feed(inputs[self._fed])
            self._fed += 1
            on_frame(self._newest)
