"""The attacks in their small form. ``python -m tests.attacks --long`` is the other."""

import os

import pytest

from tests.attacks.__main__ import ATTACKS

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals, pipes and ptys are POSIX only")


@pytest.mark.parametrize("name", ATTACKS)
def test_nothing_gives_way(name: str) -> None:
    rows = list(ATTACKS[name](1, 1))
    assert sum(row.tries for row in rows) > 0
    assert [line for row in rows if row.failures for line in row.lines()] == []
