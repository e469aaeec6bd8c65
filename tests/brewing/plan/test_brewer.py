import re

import pytest

from pourcoach.brewing.plan.brewer import BREWERS, brewer_kind
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.errors import UsageError


def test_kinds_are_named_in_general_words() -> None:
    assert {"small-cone", "large-cone", "flat-bottom", "thick-paper-carafe"} <= set(BREWERS)
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)+", name) for name in BREWERS)


@pytest.mark.parametrize("name", BREWERS)
def test_every_kind_gives_a_plan_that_needs_no_warning(name: str) -> None:
    assert work_out(PlanRequest(brewer=name)).warnings == ()


def test_an_unknown_kind_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UsageError, match="known kinds are small-cone"):
        brewer_kind("bucket")
