"""The class list: groups, brews and marks, drills and what is due."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pourcoach.library.library import Library, library_path
from pourcoach.session.classroom.class_list import class_list, member_row
from pourcoach.session.classroom.classroom import Classroom
from pourcoach.session.classroom.roster import StationRequest, seated
from pourcoach.session.practice.drills import find_drill
from pourcoach.session.settings import Settings
from tests.session.classroom.test_classroom import SHORT
from tests.session.classroom.test_drill_station import one_pour

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def places() -> list[StationRequest]:
    return [
        StationRequest("1", "sim:steady?speed=100", "Ada", group="morning"),
        StationRequest("2", "sim:hasty?speed=100", "Ben", group="evening"),
        StationRequest("3", "sim:hasty?speed=100&seed=2", "Cleo", group="morning"),
        StationRequest("4", "sim:steady?speed=100&seed=2", "Ada", group="morning"),
        StationRequest("5", "sim:steady?speed=100&seed=3"),
    ]


def test_people_are_listed_once_and_a_groups_together() -> None:
    with Library(library_path()) as library:
        members = class_list(places(), library, NOON)
    assert [(member.group, member.name) for member in members] == [
        ("morning", "Ada"),
        ("morning", "Cleo"),
        ("evening", "Ben"),
    ]
    assert member_row(members[0])[2:] == ("0", "–", "–", "–", "–", "–")


async def test_what_each_has_done() -> None:
    room = Classroom(seated(places()[:2], SHORT, Settings()))
    room.start()
    await room.over()

    drill = find_drill("landing")
    practised = StationRequest("3", "sim:learning?speed=100&seed=4", "Ada", drill=drill)
    await one_pour(Classroom(seated([practised], SHORT, Settings())))
    with Library(library_path()) as library:
        ada, _, ben = class_list(places(), library, datetime.now(UTC) + timedelta(days=2))
    # A pour of a drill is no brew.
    assert (len(ada.brews), len(ben.brews)) == (1, 1)
    assert ada.pours == (("Landing", 1),)
    assert ben.pours == ()
    cells = member_row(ada)
    assert cells[:3] == ("morning", "Ada", "1")
    assert cells[6] == "Landing 1"
    assert cells[4] == "NOT JUDGED"  # whoever prints it has them judged first
