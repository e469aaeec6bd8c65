"""What a live brew leaves in the library."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Plan
from pourcoach.library.library import Library, library_path
from pourcoach.recordings.tape import read_tape
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.calibrations import keep_calibration
from pourcoach.scales.scale import Now, Scale
from pourcoach.scales.simulated import SimulatedScale
from pourcoach.session import live
from pourcoach.session.live import live_brew
from pourcoach.session.settings import Settings
from pourcoach.weighing.calibration import Calibration

PLAN = work_out(PlanRequest(dose_g=8.0, pours=3, bloom_wait_s=10.0, flow_gps=8.0)).plan


@pytest.mark.parametrize(
    ("address", "learns"),
    [
        ("serial:/dev/ttyUSB0?speed=60", True),
        ("ble:bench?speed=60", True),
        ("sim:steady?speed=60", False),
        ("tape:a.jsonl?speed=60", False),
    ],
)
async def test_only_a_brew_on_a_scale_teaches_a_persons_lead(
    address: str,
    learns: bool,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))

    def same_hand(_address: ScaleAddress, now: Now, plan: Plan | None) -> Scale:
        """A hand that is as late as any beginner's, whatever the scale."""
        hand = ScaleAddress.parse("sim:overshooting?listens=yes&seed=2&rate=20&speed=60")
        return SimulatedScale(hand, now, plan)

    monkeypatch.setattr(live, "open_scale", same_hand)
    brew = live_brew(address, PLAN, Settings(), by="Ada", began=datetime(2026, 1, 15, tzinfo=UTC))
    assert await brew.session.run(lambda frame: None) is not None
    with Library(library_path()) as library:
        person = library.person("Ada")
    assert person is not None
    assert (person.reaction_s is not None) == learns


def test_a_calibration_in_force_is_on_the_recording(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    address = "serial:/dev/ttyFAKE7"
    keep_calibration(ScaleAddress.parse(address), Calibration(2000.0, -8000.0), "2026-01-15")
    began = datetime(2026, 1, 15, tzinfo=UTC)
    for raw, calibrated in ((address, True), (f"{address}?counts=on", False)):
        tape = tmp_path / f"{calibrated}.jsonl"
        brew = live_brew(raw, PLAN, Settings(), tape=tape, began=began)
        brew.tape.append(Reading(0.0, 0.0))
        brew.tape.close()
        assert ("calibration" in read_tape(brew.tape.path).header.scale) == calibrated
