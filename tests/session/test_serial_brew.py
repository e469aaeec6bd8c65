"""A whole brew over a real serial path: pty, pyserial, decoder, fold, tape."""

import asyncio
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Link, Reading
from pourcoach.domain.pour import Phase
from pourcoach.recordings.fold import frames
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter
from pourcoach.scales.open import open_scale
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.scale.scale_model import ScaleModel
from tests.scales.fake_serial import FakeSerialScale
from tests.wire.scale_lines import encode_checked

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are POSIX only")

# A good minute and a half of brewing in about 3 s.
SPEED = 30.0
TURN_S = 0.003
PLAN = work_out(PlanRequest(dose_g=8.0, pours=1, bloom_wait_s=10.0, flow_gps=8.0)).plan


class PlayedClock(Clock):
    """Goes as far as the brew is played: time waits where a machine is too busy for the speed."""

    def __init__(self) -> None:
        super().__init__(SPEED)
        self.played_s = 0.0

    def now(self) -> float:
        return self.played_s


async def pour_into(
    peer: FakeSerialScale, clock: PlayedClock, rate_hz: float, unplugged: tuple[float, float] | None
) -> None:
    """Play a simulated brew into the pty, in pieces of any size, pulled out for a while."""
    brew = SimulatedBrew(PLAN, "steady", seed=4, scale=ScaleModel(rate_hz=rate_hz))
    plugged = True
    sequence = 0
    while not brew.over:
        await asyncio.sleep(TURN_S)
        clock.played_s = now_s = clock.played_s + TURN_S * SPEED
        if unplugged is not None:
            wanted = not unplugged[0] <= now_s < unplugged[1]
            if wanted != plugged:
                plugged = wanted
                peer.plug() if wanted else peer.unplug()
        for reading in brew.advance_to(now_s):
            sequence += 1
            line = encode_checked(sequence % 65536, int(reading.t_s * 1000), reading.grams)
            if plugged:
                await peer.send_all(line[:7])
                await peer.send_all(line[7:])


async def brew_over_a_pty(
    folder: Path, rate_hz: float, unplugged: tuple[float, float] | None = None
) -> tuple[list[Frame], Path]:
    peer = FakeSerialScale(folder / "ttyFAKE0")
    peer.plug()
    clock = PlayedClock()
    path = folder / "a.jsonl"
    scale = open_scale(f"serial:{peer.link}", clock.now)
    session = BrewSession(scale, clock, PLAN, tape=TapeWriter(path, TapeHeader(PLAN)))
    seen: list[Frame] = []
    playing = asyncio.create_task(pour_into(peer, clock, rate_hz, unplugged))
    running = asyncio.create_task(session.run(seen.append))
    await playing
    session.stop()
    await running
    peer.unplug()
    return seen, path


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
async def test_from_the_first_byte_to_the_finished_tape(tmp_path: Path, rate_hz: float) -> None:
    live, path = await brew_over_a_pty(tmp_path, rate_hz)
    tape = read_tape(path)
    assert tape.problem is None
    assert list(frames(tape)) == live
    last = live[-1]
    assert [stage.stage for stage in last.pour.stages] == ["bloom", "pour 1"]
    assert last.pour.water_g == pytest.approx(PLAN.water_g, abs=5.0)
    assert last.pour.phase is Phase.DONE
    readings = [item for item in tape.inputs if isinstance(item, Reading)]
    # What was sent before the port was open is lost; from then on nothing is.
    sequences = [item.sequence for item in readings]
    assert sequences == list(range(sequences[0], sequences[0] + len(sequences)))


async def test_a_cable_pulled_in_mid_pour_leaves_a_gap_and_the_brew_goes_on(
    tmp_path: Path,
) -> None:
    live, path = await brew_over_a_pty(tmp_path, 20.0, unplugged=(20.0, 23.0))
    tape = read_tape(path)
    links = [replace(item, t_s=0.0, why="") for item in tape.inputs if isinstance(item, Link)]
    assert links[-2:] == [Link(0.0, up=False), Link(0.0, up=True)]
    assert FlagKind.GAP in {flag.kind for flag in live[-1].flags}
    assert live[-1].pour.water_g == pytest.approx(PLAN.water_g, abs=8.0)
    assert list(frames(tape)) == live
