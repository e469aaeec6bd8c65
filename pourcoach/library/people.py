"""People asked for, and what was learnt of them."""

from pourcoach.domain.errors import WorkError
from pourcoach.domain.units import Seconds
from pourcoach.library.describing import number_of
from pourcoach.library.library import Library
from pourcoach.library.practice_log import has_practised
from pourcoach.library.records import Person


def people(library: Library) -> list[tuple[Person, int]]:
    """Everybody, by name, each with the number of their brews."""
    with library.asking() as connection:
        rows = connection.execute(
            "SELECT name, reaction_s, (SELECT count(*) FROM brew WHERE person_id = person.id"
            " AND binned_at IS NULL) FROM person ORDER BY name COLLATE NOCASE"
        )
        return [(Person(name, reaction_s), count) for name, reaction_s, count in rows]


def person_called(library: Library, name: str) -> Person | None:
    """The person of that name, in any case; None where nobody of that name has brewed."""
    with library.asking() as connection:
        row = connection.execute(
            "SELECT name, reaction_s FROM person WHERE name = ?", (name,)
        ).fetchone()
    return None if row is None else Person(*row)


def known_person(library: Library, name: str) -> Person:
    """The same, or somebody who has only practised; raises WorkError where there is nobody."""
    person = person_called(library, name)
    if person is None and has_practised(name):
        return Person(name, None)
    if person is None:
        everybody = ", ".join(each.name for each, _ in people(library)[:20])
        raise WorkError(
            f"nobody in the library is called {name!r}",
            f"there are {everybody}" if everybody else "nobody is in it yet",
        )
    return person


def learn_reaction(library: Library, name: str, reaction_s: Seconds | None) -> None:
    """Keep what was learnt of a person's lead; None forgets it."""
    with library.changing() as connection:
        number = number_of(connection, "person", name)
        connection.execute("UPDATE person SET reaction_s = ? WHERE id = ?", (reaction_s, number))
