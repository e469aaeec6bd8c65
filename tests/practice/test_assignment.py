"""A pour's assignment goes on the tape's header and back; what is none is refused."""

from typing import Any

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.practice.assignment import Assignment
from tests.practice.driven import short_task

ASSIGNMENT, _ = short_task()


def test_it_comes_back_as_it_was_written() -> None:
    assert Assignment.from_dict(ASSIGNMENT.as_dict()) == ASSIGNMENT


@pytest.mark.parametrize(
    "changes",
    [
        {"seed": "7"},
        {"seed": True},
        {"seed": -1},
        {"seed": 1.0},
        {"place": None},
        {"place": {"part": "lunch"}},
        {"asks": []},
        {"judged": []},
        {"mode": "dream"},
    ],
    ids=str,
)
def test_what_this_version_cannot_read_is_refused(changes: dict[str, Any]) -> None:
    with pytest.raises((ValueError, UsageError)):
        Assignment.from_dict(ASSIGNMENT.as_dict() | changes)
