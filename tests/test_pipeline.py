"""The one fold: live, replayed and analysed brews are the same to the last bit.

``tests/recordings/test_samples.py`` holds the same of each shipped recording.
"""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Reading, Tare
from pourcoach.domain.plan import Plan
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.fold import frames
from pourcoach.recordings.tape import Tape, TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter
from pourcoach.session.live import live_brew
from pourcoach.session.settings import Settings
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.scale.scale_model import ScaleModel

PLAN = work_out(PlanRequest()).plan
SHORT = work_out(PlanRequest(dose_g=8.0, pours=1, bloom_wait_s=10.0, flow_gps=8.0)).plan


def simulated(plan: Plan, profile: str, seed: int, rate_hz: float) -> Tape:
    brew = SimulatedBrew(plan, profile, seed, ScaleModel(rate_hz=rate_hz))
    readings: list[Reading] = []
    t_s = 0.0
    while not brew.over:
        t_s += 1.0
        readings += brew.advance_to(t_s)
    return Tape(TapeHeader(plan), tuple(readings), end_s=t_s)


def written_and_read(made: Tape, path: Path) -> Tape:
    with TapeWriter(path, made.header) as writer:
        for item in made.inputs:
            writer.append(item)
        writer.finish(made.last_s)
    return read_tape(path)


@pytest.mark.parametrize("profile", ["steady", "unsteady", "stalling", "surging", "hasty"])
@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
def test_a_tape_written_and_read_is_the_same_to_the_last_bit(
    tmp_path: Path, profile: str, rate_hz: float
) -> None:
    made = simulated(PLAN, profile, seed=7, rate_hz=rate_hz)
    # As text, where 1 is not 1.0 and -0.0 not 0.0.
    assert repr(written_and_read(made, tmp_path / "a.jsonl")) == repr(made)


def test_a_tape_written_and_read_gives_the_same_frames(tmp_path: Path) -> None:
    made = simulated(PLAN, "stalling", seed=7, rate_hz=10.0)
    assert list(frames(written_and_read(made, tmp_path / "a.jsonl"))) == list(frames(made))


async def test_a_live_simulated_brew_ends_by_itself_and_replays_to_the_last_bit(
    tmp_path: Path,
) -> None:
    path = tmp_path / "a.jsonl"
    brew = live_brew(
        "sim:steady?seed=5&rate=20&speed=30",
        SHORT,
        Settings(),
        tape=path,
        began=datetime.now(UTC),
    )
    live: list[Frame] = []
    last = await brew.session.run(live.append)
    assert last is not None
    assert last.pour.ending is not None
    tape = read_tape(path)
    assert tape.header.plan == SHORT
    assert list(frames(tape)) == live


def test_a_shifted_origin_changes_no_mass_and_no_flag() -> None:
    made = simulated(PLAN, "stalling", seed=3, rate_hz=10.0)
    here, later = Pipeline(PLAN), Pipeline(PLAN)
    for item in made.inputs:
        assert isinstance(item, Reading)
        frame = here.feed(item)
        moved = later.feed(Reading(item.t_s + 1000.0, item.grams))
        assert moved.estimate.mass_g == pytest.approx(frame.estimate.mass_g, abs=1e-6)
        assert [flag.kind for flag in moved.flags] == [flag.kind for flag in frame.flags]


def test_a_tare_shifts_the_weight_and_leaves_the_flow() -> None:
    plain, tared = Pipeline(), Pipeline()
    for number in range(1, 60):
        frame = plain.feed(Reading(number / 10, 412.3))
        shifted = tared.feed(Reading(number / 10, 412.3))
    tared.feed(Tare(6.0))
    frame = plain.feed(Reading(6.1, 412.3))
    shifted = tared.feed(Reading(6.1, 412.3))
    assert shifted.estimate.mass_g == pytest.approx(frame.estimate.mass_g - 412.3, abs=0.05)
    assert shifted.estimate.flow_gps == frame.estimate.flow_gps


def test_the_last_pour_is_refined_in_slices_with_the_same_result() -> None:
    """The recording stops in the middle of a long pour, so that all of it is refined at the end."""
    inputs = [Reading(n / 20.0, round(max(n / 20.0 - 5.0, 0.0) * 4.0, 1)) for n in range(1300)]
    at_once, sliced = Pipeline(), Pipeline()
    for item in inputs:
        at_once.feed(item)
        sliced.feed(item)
    finishing, slices = sliced.finishing(65.0), 0
    last = None
    while last is None:
        try:
            next(finishing)
            slices += 1
        except StopIteration as done:
            last = done.value
    assert last == at_once.finish(65.0)
    assert slices > 30, "of each of its six stretches of ten seconds there are several"
