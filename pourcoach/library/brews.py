"""Brews asked for: found by what is known of them, and opened, without reading a tape."""

import os
from collections.abc import Iterator
from contextlib import suppress
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from pourcoach.domain.afterwards import CupNote, Remark, RemarkKind, StrengthReading
from pourcoach.domain.documents import from_json
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.plan import Plan
from pourcoach.library.judged import judgement_of
from pourcoach.library.library import Library
from pourcoach.library.paths import path_key
from pourcoach.library.records import Brew, Judgement, OpenedBrew, Search
from pourcoach.recordings.contents import contents_of
from pourcoach.recordings.tape import SUFFIXES

LEAST_ID = 4
"""Characters of an id that are enough to name a brew by, if no other begins with them."""

# Brew's fields. The joined table's rows are of many pages, and the index has all that is asked for
# of them; left to itself, the planner goes by the key.
COLUMNS = """
    SELECT brew.id, content, tape, is_missing, recorded_at, recorded_s, title, person.name,
        coffee.name, water.name, tags, strength_percent, water_g, brew_s, headline, findings,
        marks_met, marks_of, made_by
    FROM brew
    LEFT JOIN person ON person.id = person_id
    LEFT JOIN coffee ON coffee.id = coffee_id
    LEFT JOIN water ON water.id = water_id
    LEFT JOIN judgement INDEXED BY judgement_in_list ON judgement.brew_id = brew.id
"""
_ORDER = " ORDER BY recorded_s DESC, brew.id DESC"


def find_brews(
    library: Library, search: Search | None = None, *, most: int | None = None, skip: int = 0
) -> list[Brew]:
    """The newest first: ``most`` of them after ``skip``, or all."""
    which, values = _condition(search or Search())
    values |= {"most": -1 if most is None else most, "skip": skip}
    with library.asking() as connection:
        rows = connection.execute(
            f"{COLUMNS} WHERE {which} {_ORDER} LIMIT :most OFFSET :skip", values
        )
        return list(map(Brew._make, rows))


def count_brews(library: Library, search: Search | None = None) -> int:
    """How many brews fit the search."""
    which, values = _condition(search or Search())
    with library.asking() as connection:
        joins = COLUMNS[COLUMNS.index("FROM") :]
        (count,) = connection.execute(f"SELECT count(*) {joins} WHERE {which}", values).fetchone()
    return int(count)


def brew_numbered(library: Library, number: int) -> Brew | None:
    """The brew of that number; None where there is none."""
    return _one(library, "brew.id = :number", {"number": number})


def brew_on(library: Library, tape: Path) -> Brew | None:
    """The brew whose tape, or a copy of it, is at ``tape``, as the library saw it last; of a file
    that it never saw, the one of the same content. None where it is not kept.
    """
    key = {"key": path_key(tape)}
    found = _one(library, "brew.id = (SELECT brew_id FROM tape WHERE path = :key)", key)
    # Where the file went away, the brew that was there last.
    found = found or _one(library, f"tape = :key {_ORDER}", key)
    if found is None and tape.is_file():
        with suppress(WorkError):
            content = contents_of(tape).content
            return _one(library, "content = :content", {"content": content})
    return found


def brew_called(library: Library, name: str) -> Brew:
    """The brew that ``name`` means: an id or its beginning, a tape's path or its bare name, or a
    title.

    Raises UsageError where it means none or several.
    """
    found = _called(library, name)
    if len(found) == 1:
        return found[0]
    if not found:
        raise UsageError(
            f"no brew is called {name!r}", "'pourcoach sessions list' shows them with their ids"
        )
    raise UsageError(
        f"{len(found)} brews are called {name!r}",
        "name one by its id: " + ", ".join(brew.id for brew in found[:5]),
    )


def open_brew(library: Library, number: int) -> OpenedBrew:
    """All that is known of a brew. Raises WorkError where there is none of that number."""
    brew = brew_numbered(library, number)
    if brew is None:
        raise WorkError("that brew is not in the library any more", "list the brews again")
    with library.asking() as connection:

        def rows(columns: str, table: str) -> list[Any]:
            return connection.execute(
                f"SELECT {columns} FROM {table} WHERE brew_id = ? ORDER BY id", (number,)
            ).fetchall()

        plan, scale = connection.execute(
            "SELECT plan, address FROM brew LEFT JOIN plan ON plan.id = plan_id"
            " LEFT JOIN scale ON scale.id = scale_id WHERE brew.id = ?",
            (number,),
        ).fetchone()
        return OpenedBrew(
            brew=brew,
            judgement=judgement_of(connection, number),
            remarks=tuple(
                Remark(RemarkKind(kind), text, at)
                for kind, text, at in rows("kind, text, made_at", "remark")
            ),
            cup_notes=tuple(
                CupNote(*row)
                for row in rows(
                    "made_at, least, most, aroma, acidity, body, flavour, aftertaste, balance,"
                    " text",
                    "cup_note",
                )
            ),
            strengths=tuple(
                StrengthReading(*row)
                for row in rows("strength, strength_error, beverage_g, taken_at", "strength")
            ),
            plan=None if plan is None else Plan.from_dict(from_json(plan)),
            scale=scale,
        )


def judged_brews(
    library: Library, search: Search | None = None
) -> Iterator[tuple[Brew, Judgement]]:
    """Brews that are judged, the newest first, each with its figures and curve: for progress and
    comparisons over many.

    ``recording``, ``by`` and ``recorded_at`` in the figures are what the library knows: a brew may
    have been given to a person after it was recorded.
    """
    for brew in find_brews(library, search):
        if brew.judged_by is None:
            continue
        with library.asking() as connection:
            judgement = judgement_of(connection, brew.number)
        if judgement is not None:
            judgement.figures["recording"] = str(brew.tape)
            judgement.figures["by"] = brew.by
            judgement.figures["recorded_at"] = brew.recorded_at
            yield brew, judgement


def unjudged(
    library: Library, judged_by: str | None = None, rubric: str | None = None
) -> list[Brew]:
    """Brews whose tape is there and that are not judged yet; also those judged by another version
    than ``judged_by`` or under another rubric than ``rubric``, where these are given.
    """
    which = (
        "binned_at IS NULL AND NOT is_missing AND (made_by IS NULL"
        " OR (:judged_by IS NOT NULL AND made_by <> :judged_by)"
        " OR (:rubric IS NOT NULL AND rubric <> :rubric))"
    )
    with library.asking() as connection:
        rows = connection.execute(
            f"{COLUMNS} WHERE {which} {_ORDER}", {"judged_by": judged_by, "rubric": rubric}
        )
        return list(map(Brew._make, rows))


def _one(library: Library, which: str, values: dict[str, Any]) -> Brew | None:
    with library.asking() as connection:
        row = connection.execute(f"{COLUMNS} WHERE {which}", values).fetchone()
    return None if row is None else Brew._make(row)


def _called(library: Library, name: str) -> list[Brew]:
    path = Path(name)
    by_path = brew_on(library, path)
    if by_path is not None:
        return [by_path]
    with library.asking() as connection:

        def found(which: str) -> list[Brew]:
            rows = connection.execute(f"{COLUMNS} WHERE {which} {_ORDER}", {"name": name})
            return list(map(Brew._make, rows))

        if len(name) >= LEAST_ID and (
            by_id := found("content >= lower(:name) AND content < lower(:name) || 'g'")
        ):
            return by_id
        by_title = found("title = :name COLLATE NOCASE")
        if by_title or not name:
            return by_title
        endings = [f"{os.sep}{name}{suffix}" for suffix in ("", *SUFFIXES)]
        ends = " OR ".join(f"substr(tape, -{len(end)}) = :end{i}" for i, end in enumerate(endings))
        values = {f"end{i}": end for i, end in enumerate(endings)}
        rows = connection.execute(f"{COLUMNS} WHERE {ends} {_ORDER}", values)
        return list(map(Brew._make, rows))


def _condition(search: Search) -> tuple[str, dict[str, Any]]:
    which = ["binned_at IS NOT NULL" if search.binned else "binned_at IS NULL"]
    values: dict[str, Any] = {}
    # By number, so that the index serves: names are few, brews many.
    for column in ("by", "coffee"):
        name = getattr(search, column)
        if name is not None:
            table = "person" if column == "by" else column
            which.append(f"{table}_id = (SELECT id FROM {table} WHERE name = :{column})")
            values[column] = name
    if search.tag is not None:
        which.append("brew.id IN (SELECT brew_id FROM tag WHERE name = :tag)")
        values["tag"] = search.tag
    if search.finding is not None:
        which.append("brew.id IN (SELECT brew_id FROM finding WHERE kind = :finding)")
        values["finding"] = search.finding
    if search.since is not None:
        which.append("recorded_s >= :since")
        values["since"] = _midnight_s(search.since)
    if search.until is not None:
        which.append("recorded_s < :until")
        values["until"] = _midnight_s(search.until + timedelta(days=1))
    for place, word in enumerate(search.text.casefold().split()):
        which.append(f"instr(words, :word{place})")
        values[f"word{place}"] = word
    return " AND ".join(which), values


def _midnight_s(day: date) -> float:
    return datetime.combine(day, time()).astimezone().timestamp()
