"""A trainer's list of criteria with bounds and weights, in TOML."""

import math
from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError
from pourcoach.domain.limits import FlagLimits

MOST_CRITERIA = 100


class Measure(Enum):
    """What a criterion measures. A measure of each stage gives one mark a stage."""

    BLOOM_SHARE = "bloom_share"
    """Bloom water over planned bloom water."""
    BLOOM_WAIT_OFF_S = "bloom_wait_off_s"
    """When the pour after the bloom began, less when it was planned."""
    LANDING_OFF_G = "landing_off_g"
    """Each later stage: its total less its mark."""
    LANDING_OFF_SHARE = "landing_off_share"
    """The same over the mark."""
    START_OFF_S = "start_off_s"
    """Each stage after those above: when it began, less when it was planned."""
    FLOW_CV = "flow_cv"
    """Each stage long enough to judge: coefficient of variation of flow."""
    FLOW_OFF_SHARE = "flow_off_share"
    """Each stage: mean flow less planned flow, over planned flow."""
    STALLS = "stalls"
    """How many in the brew."""
    SURGES = "surges"
    """How many in the brew."""
    WATER_OFF_G = "water_off_g"
    """All water less planned water."""
    WATER_OFF_SHARE = "water_off_share"
    """The same over planned water."""
    BREW_S = "brew_s"
    """From the first water to the end, where the brewer reported the end or it was weighed."""
    BREW_OFF_SHARE = "brew_off_share"
    """The same less the planned finish, over the planned finish."""


@dataclass(frozen=True, slots=True)
class Criterion:
    """One measure with its bounds and weight."""

    title: str
    measure: Measure
    least: float
    """Bounds in the measure's unit, both included; infinite where open."""
    most: float
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Rubric:
    """All criteria, in the order in which they are reported."""

    name: str
    criteria: tuple[Criterion, ...]
    limits: FlagLimits | None = None
    """Limits for flags, where the rubric sets its own."""


DEFAULT_RUBRIC = """\
# Bounds are common practice; no published source was found for any of them.
# measure: bloom_share, bloom_wait_off_s, landing_off_g, landing_off_share, start_off_s, flow_cv,
#   flow_off_share, stalls, surges, water_off_g, water_off_share, brew_s, brew_off_share
# least, most: bounds, both included; one may be left out. weight: 1 if left out.
name = "pouring to plan"

[[criterion]]
title = "Bloom water"
measure = "bloom_share"
least = 0.8
most = 1.2

[[criterion]]
title = "Bloom wait"
measure = "bloom_wait_off_s"
least = -5
most = 15

[[criterion]]
title = "Landing"
measure = "landing_off_share"
least = -0.05
most = 0.05

[[criterion]]
title = "On time"
measure = "start_off_s"
least = -8
most = 8

[[criterion]]
title = "Even flow"
measure = "flow_cv"
most = 0.20
weight = 2

[[criterion]]
title = "No stall"
measure = "stalls"
most = 0
weight = 2

[[criterion]]
title = "No surge"
measure = "surges"
most = 0

[[criterion]]
title = "Total water"
measure = "water_off_share"
least = -0.03
most = 0.03
weight = 2

[[criterion]]
title = "Brew time"
measure = "brew_off_share"
least = -0.25
most = 0.25
"""


def read_rubric(text: str) -> Rubric:
    """Read a rubric from TOML; raises UsageError saying where it is wrong."""
    table = CheckedTable.from_toml("the rubric", text)
    criteria = table.tables("criterion", MOST_CRITERIA)
    rubric = Rubric(
        name=table.text("name", "rubric"),
        criteria=tuple(map(_criterion, criteria)),
        limits=table.maybe("limits", FlagLimits.from_table),
    )
    table.done()
    return rubric


def _criterion(table: CheckedTable) -> Criterion:
    measure = table.one_of("measure", {one.value: one for one in Measure})
    least = table.number("least", -math.inf, least=-math.inf)
    most = table.number("most", math.inf, least=-math.inf)
    weight = table.number("weight", 1.0, least=0.0)
    title = table.text("title", measure.value)
    table.done()
    if least > most:
        raise table.wrong("least", "is above most", "swap them")
    if least == -math.inf and most == math.inf:
        raise UsageError(f"{table.name} can not be missed", "give it least, most or both")
    if weight <= 0.0:
        raise table.wrong("weight", "is 0", "make it a number above 0")
    return Criterion(title, measure, least, most, weight)
