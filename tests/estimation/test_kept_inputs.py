"""Inputs are kept as they came, as long as the record is not too long."""

import pytest

from pourcoach.domain.inputs import Begin, Input, Link, Reading, Silence, Tare
from pourcoach.estimation.kept_inputs import KeptInputs

INPUTS: tuple[Input, ...] = (
    Silence(0.1),
    Reading(0.2, 1.5),
    Reading(0.3, 1.6, device_s=7.25, sequence=0),
    Tare(0.31, by_scale=True),
    Begin(0.32),
    Reading(0.4, -0.1, device_s=7.35, sequence=2**16),
    Reading(0.5, 0.0, sequence=2**70),
    Reading(0.6, 0.0, sequence=-1),
    Reading(0.7, 2.0),
    Link(0.8, up=False, why="The scale does not answer."),
)


def test_all_come_back_in_order() -> None:
    kept = KeptInputs()
    for item in INPUTS:
        kept.append(item)
    assert kept.complete
    assert tuple(kept) == INPUTS


def test_what_the_fold_makes_no_use_of_is_left_out() -> None:
    kept = KeptInputs()
    kept.append(Reading(0.1, 3.0, corners_g=(1.0, 2.0), stable=True))
    assert list(kept) == [Reading(0.1, 3.0)]


@pytest.mark.parametrize(("later_s", "complete"), [(3600.0, True), (3600.1, False)])
def test_nothing_is_kept_of_more_than_an_hour(later_s: float, complete: bool) -> None:
    kept = KeptInputs()
    for item in (Reading(5.0, 0.0), Silence(6.0), Reading(5.0 + later_s, 0.0)):
        kept.append(item)
    assert kept.complete is complete
    assert len(list(kept)) == (3 if complete else 0)


def test_nothing_is_kept_of_more_than_so_many_readings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pourcoach.estimation.kept_inputs.MOST_INPUTS", 4)
    kept = KeptInputs()
    for number in range(5):
        kept.append(Reading(number / 80.0, 0.0))
    assert not kept.complete
    assert list(kept) == []
