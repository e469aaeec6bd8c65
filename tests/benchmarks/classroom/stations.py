"""Many stations on one machine: what they cost, and how old a reading is when the wall shows it.

Run: ``python -m tests.benchmarks.classroom.stations [STATIONS [SECONDS]]``, eight for thirty
seconds by default. Each is a simulated scale at 80 readings a second with its own fold and tape,
under the wall itself in a terminal of 100x30 that is not there. "frame" is from a reading's arrival
to its Frame, "tile" to the look at the board that first shows it, "drawn" how long the wall takes
to paint a look. CPU is of this process, against one core. The last column counts readings that
should be on the tapes and are not.
"""

import asyncio
import os
import statistics
import sys
import tempfile
import time

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Reading
from pourcoach.recordings.tape import read_tape
from pourcoach.session.brew import BrewSession
from pourcoach.session.classroom.classroom import Classroom
from pourcoach.session.classroom.roster import StationRequest, seated
from pourcoach.session.classroom.station import Station
from pourcoach.session.classroom.work import BrewWork
from pourcoach.session.settings import Settings
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import SeenStation
from pourcoach.tui.wall.wall_screen import WallScreen
from tests.tui.screen_app import ScreenApp

RATE_HZ = 80


def session_of(station: Station) -> BrewSession | None:
    work = station._shown
    return work.brew.session if isinstance(work, BrewWork) else None


class TimedBoard:
    """Looks at a classroom, and notes how old each station's newest reading was."""

    notice = None

    def __init__(self, room: Classroom) -> None:
        self._room = room
        self.ages_s: list[float] = []
        self.drawn_s: list[float] = []
        self._looked_s = 0.0
        self._newest: dict[str, float] = {}

    def curve(self, name: str) -> StationCurve | None:
        return self._room.curve(name)

    def seen(self) -> tuple[SeenStation, ...]:
        now_s = time.perf_counter()
        for station in self._room.stations:
            session = session_of(station)
            frame = None if session is None else session.newest
            if session is not None and frame is not None:
                if self._newest.get(station.name) != frame.t_s:
                    self.ages_s.append(session.now() - frame.t_s)
                self._newest[station.name] = frame.t_s
        seen = self._room.seen()
        self._looked_s = now_s
        asyncio.get_running_loop().call_soon(self._drawn)
        return seen

    def _drawn(self) -> None:
        self.drawn_s.append(time.perf_counter() - self._looked_s)


def p95(values: list[float]) -> float:
    return statistics.quantiles(values, n=20)[-1] if len(values) > 1 else float("nan")


async def measure(count: int, seconds: float) -> None:
    folds_s: list[float] = []

    def heard(station: Station, frame: Frame) -> None:
        session = session_of(station)
        if session is not None:
            folds_s.append(session.now() - frame.t_s)

    profiles = ("steady", "hasty", "unsteady")
    places = [
        StationRequest(str(n), f"sim:{profiles[n % 3]}?seed={n}&rate={RATE_HZ}")
        for n in range(1, count + 1)
    ]
    plan = work_out(PlanRequest()).plan
    room = Classroom(seated(places, plan, Settings(), on_frame=heard))
    board = TimedBoard(room)
    async with ScreenApp(WallScreen(board, room)).run_test(size=(100, 30)) as pilot:
        await asyncio.sleep(3.0)  # numpy is loaded meanwhile
        folds_s.clear()
        board.ages_s.clear()
        began, used = time.perf_counter(), time.process_time()
        await asyncio.sleep(seconds)
        lasted_s = time.perf_counter() - began
        cpu = (time.process_time() - used) / lasted_s
        frames, looks = len(folds_s), list(board.ages_s)
        fold_s = list(folds_s)
        await room.close()
        await pilot.pause()
    missing = 0
    for station in room.stations:
        tape = read_tape(station.done[0].recording)
        times = [item.t_s for item in tape.inputs if isinstance(item, Reading)]
        missing += round((times[-1] - times[0]) * RATE_HZ) + 1 - len(times)
    print(
        f"{count:>8}  {frames / lasted_s:>9.0f}  {cpu:>5.0%}  "
        f"{1000 * statistics.median(fold_s):>6.1f} {1000 * p95(fold_s):>6.1f}  "
        f"{1000 * statistics.median(looks):>6.1f} {1000 * p95(looks):>6.1f}  "
        f"{1000 * p95(board.drawn_s):>6.1f}  {missing:>7}"
    )


def main() -> None:
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 8
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 30.0
    print("stations  frames/s    CPU  frame ms p95    tile ms p95    drawn  missing")
    for count in (1, most):
        with tempfile.TemporaryDirectory() as home:
            os.environ["POURCOACH_HOME"] = home
            asyncio.run(measure(count, seconds))


if __name__ == "__main__":
    main()
