"""A drill as TOML text. Whoever has the file reads it."""

from dataclasses import replace

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError
from pourcoach.practice.drill.drill import FULL_SHARE, Drill, DrillPour
from pourcoach.practice.drill.measure import Asked, Judged, PourMeasure
from pourcoach.practice.schedule import USUAL, Schedule

MOST_POURS = 20
MOST_G = 2000.0
"""Of one pour; kettles hold less."""
FASTEST_GPS = 50.0
LONGEST_REST_S = 600.0
LONGEST_TEXT = 400
"""A sentence or two."""
MASS, FLOW = PourMeasure.MASS, PourMeasure.FLOW
MEASURES = {measure.value: measure for measure in PourMeasure}
USUALLY_ASKED = Asked(MASS)


def drill_from_toml(name: str, text: str) -> Drill:
    """Raises UsageError saying what is wrong in it, and where."""
    table = CheckedTable.from_toml(f"the drill {name}", text)
    try:
        drill = _drill(name, table)
    except UsageError as error:
        if error.what.startswith(f"the drill {name}"):
            raise
        raise UsageError(f"the drill {name}: {error.what}", error.remedy) from None
    table.done()
    return drill


def _drill(name: str, table: CheckedTable) -> Drill:
    pours = tuple(map(_pour, table.tables("pour", MOST_POURS)))
    judged = tuple(_judged(each, len(pours)) for each in table.tables("judged", MOST_POURS))
    drill = Drill(
        name=name,
        title=table.words("title", longest=LONGEST_TEXT),
        task=table.words("task", longest=LONGEST_TEXT),
        pours=pours,
        judged=judged,
        asks=_asked(table.table("asks"), len(pours)) if "asks" in table else USUALLY_ASKED,
        server_ml=table.number("server_ml", least=50.0, most=5000.0),
        clock=table.flag("clock", usual=True),
        dark=table.flag("dark", usual=False),
        schedule=table.maybe("schedule", Schedule.from_table) or USUAL,
    )
    drill.task_at(1.0)
    factors = table.numbers("factors", drill.factors, least=0.1, most=10.0)
    others = tuple(one for one in drill.transfer_factors if one not in factors)
    transfer_factors = table.numbers(
        "transfer_factors", others or drill.transfer_factors, least=0.1, most=10.0
    )
    drill = replace(drill, factors=factors, transfer_factors=transfer_factors)
    both = sorted(set(drill.factors) & set(drill.transfer_factors))
    if both:
        raise table.wrong(
            "transfer_factors",
            f"has {both[0]:g}, which is practised",
            "a transfer test asks for amounts that are none of factors",
        )
    if drill.most_g > FULL_SHARE * drill.server_ml:
        raise UsageError(
            f"up to {drill.most_g:g} g do not go into a server of {drill.server_ml:g} ml with room"
            " to spare",
            f"name one of {drill.most_g / FULL_SHARE:.0f} ml or more as server_ml",
        )
    needs = table.words("needs", _usual_needs(drill), longest=LONGEST_TEXT)
    return replace(drill, needs=needs)


def _usual_needs(drill: Drill) -> str:
    return (
        f"an empty server of {drill.server_ml:g} ml or more on the scale, the scale's own display "
        f"covered, and {drill.most_g:g} g of plain water in the kettle: cold water will do"
    )


def _pour(table: CheckedTable) -> DrillPour:
    pour = DrillPour(
        mass_g=table.number("mass_g", least=5.0, most=MOST_G),
        flow_gps=table.number("flow_gps", least=0.5, most=FASTEST_GPS),
        after_s=table.number("after_s", 0.0, least=0.0, most=LONGEST_REST_S),
        name=table.words("name", longest=LONGEST_TEXT) if "name" in table else "",
    )
    table.done()
    return pour


def _judged(table: CheckedTable, pours: int) -> Judged:
    judged = Judged(
        table.one_of("measure", MEASURES),
        table.number("band", least=0.01, most=MOST_G),
        _pour_number(table, pours),
    )
    table.done()
    return judged


def _asked(table: CheckedTable, pours: int) -> Asked:
    measure = table.one_of("measure", {one.value: one for one in (MASS, FLOW)})
    asked = Asked(measure, _pour_number(table, pours))
    table.done()
    if asked.measure is FLOW and asked.pour is None:
        raise table.wrong("measure", "asks for the flow of no pour", "say of which pour")
    return asked


def _pour_number(table: CheckedTable, pours: int) -> int | None:
    """From 1."""
    return table.whole("pour", 1, pours) if "pour" in table else None
