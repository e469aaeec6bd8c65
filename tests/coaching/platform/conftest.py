"""A brew in the wait after the bloom, where most of what can happen on the platform happens."""

import pytest

from tests.coaching.conftest import Brew


@pytest.fixture
def waiting(brew: Brew) -> Brew:
    """The bloom is in, and the next pour is due in a while."""
    return brew.pour_to(40.0).rest(3.0)
