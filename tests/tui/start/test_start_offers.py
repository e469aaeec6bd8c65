"""What the start screen finds on this machine."""

from pathlib import Path

import pytest

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.recordings.shipped import shipped_recordings
from pourcoach.scales.cable.listing import SerialPort
from pourcoach.session.settings import Settings
from pourcoach.tui.start import start_offers
from pourcoach.tui.start.start_offers import find_offers, plan_offer_from

USB = SerialPort(
    "/dev/ttyUSB0", "USB serial", vid=0x1234, pid=0x5678, serial_number=None, location=None
)
BOARD = SerialPort("/dev/ttyS0", "", vid=None, pid=None, serial_number=None, location=None)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine with a USB port and one on its board; nothing kept yet."""
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(start_offers, "serial_ports", lambda: [USB, BOARD])
    return tmp_path


@pytest.mark.usefixtures("home")
def test_usb_comes_first_and_ports_on_the_board_last() -> None:
    scales = find_offers(Settings()).scales
    assert (scales[0].address, scales[0].what) == ("serial:/dev/ttyUSB0", "USB serial")
    assert scales[1].address == "sim:steady"
    assert scales[-1].address == "serial:/dev/ttyS0"


@pytest.mark.usefixtures("home")
def test_the_settings_scale_leads_and_is_not_offered_twice() -> None:
    addresses = [o.address for o in find_offers(Settings(scale="serial:/dev/ttyS0")).scales]
    assert addresses[0] == "serial:/dev/ttyS0"
    assert len(addresses) == len(set(addresses))


@pytest.mark.usefixtures("home")
def test_the_usual_plan_leads_and_is_the_settings() -> None:
    plans = find_offers(Settings(plan={"dose_g": 15, "ratio": 15})).plans
    assert plans[0].name == "usual"
    assert plans[0].plan.water_g == 225.0
    assert plans[0].what == (
        "15 g of coffee, 225 g of water (1:15): bloom to 30 g, then 2 pours, drained by 2:20"
    )


@pytest.mark.usefixtures("home")
def test_a_saved_plan_that_cannot_be_brewed_is_reported_and_left_out() -> None:
    offers = find_offers(Settings(plan={"dose_g": -1}))
    assert offers.notice is not None
    assert offers.notice.startswith("The plan in the settings is left out: ")
    assert offers.plans[0].plan.dose_g > 0


def test_plan_files_are_found_and_other_toml_is_passed_over(home: Path) -> None:
    (home / "plans").mkdir()
    (home / "plans" / "class.toml").write_text("dose_g = 18\n", encoding="utf-8")
    (home / "other.toml").write_text("[project]\nname = 'x'\n", encoding="utf-8")
    names = [offer.name for offer in find_offers(Settings()).plans]
    assert "class" in names
    assert "other" not in names


def test_recordings_are_found_once(home: Path) -> None:
    (home / "tapes").mkdir()
    header = '{"pourcoach": 1, "recorded_at": "2026-01-15T09:30:00+00:00", "by": "Ada"}\n'
    (home / "tapes" / "kept.jsonl").write_text(header)
    (home / "recordings").mkdir()
    (home / "recordings" / "example.jsonl").touch()
    (home / "recordings" / "again.jsonl").symlink_to(home / "tapes" / "kept.jsonl")
    kept, example, *shipped = find_offers(Settings()).recordings
    assert (kept.path.name, example.path.name) == ("kept.jsonl", "example.jsonl")
    assert (kept.title, kept.who_and_when) == ("2026-01-15 09:30 Ada", "by Ada 2026-01-15 09:30")
    assert (example.title, example.who_and_when) == ("example", "")
    assert [offer.path for offer in shipped] == list(shipped_recordings())
    assert shipped[0].title == "A steady hand"


@pytest.mark.usefixtures("home")
def test_a_folder_that_is_the_programs_own_is_not_listed_twice(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(Path(__file__).parents[3])
    paths = [offer.path.resolve() for offer in find_offers(Settings()).recordings]
    assert paths == [path.resolve() for path in shipped_recordings()]


def test_a_file_that_is_no_plan_says_why(home: Path) -> None:
    with pytest.raises(WorkError, match="cannot read the plan file"):
        plan_offer_from(home / "none.toml")
    (home / "bad.toml").write_text("dose_g = [", encoding="utf-8")
    with pytest.raises(UsageError, match="is not TOML"):
        plan_offer_from(home / "bad.toml")
