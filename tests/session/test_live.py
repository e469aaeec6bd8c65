"""What a live brew takes from this machine before it begins."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourcoach.domain.errors import PourcoachError
from pourcoach.library.library import Library, library_path
from pourcoach.library.people import learn_reaction
from pourcoach.session.live import learnt_reaction_s, live_brew
from pourcoach.session.settings import Settings


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.mark.parametrize(("kept_s", "used_s"), [(0.4, 0.4), (99.0, 0.25), (-1.0, 0.25)])
def test_a_lead_that_no_person_has_is_left(kept_s: float, used_s: float) -> None:
    with Library(library_path()) as library:
        learn_reaction(library, "Ada", kept_s)
    assert learnt_reaction_s("Ada", Settings()) == used_s


@pytest.mark.parametrize(
    "address", ["", ":", "sim:nobody", "serial:", "ble:", "x:y", "sim:steady?q"]
)
def test_a_wrong_address_leaves_nothing_behind(home: Path, address: str) -> None:
    with pytest.raises(PourcoachError):
        live_brew(address, None, Settings(), by="Ada", began=datetime.now(UTC))
    assert not home.exists()


def test_a_brew_that_never_began_leaves_nothing_behind(home: Path) -> None:
    brew = live_brew("sim:steady", None, Settings(), by="Ada", began=datetime.now(UTC))
    brew.tape.close()
    assert not home.exists()
