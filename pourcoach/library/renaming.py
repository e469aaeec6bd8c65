"""A person called otherwise, on every tape of theirs."""

from pourcoach import wall_clock
from pourcoach.domain.afterwards import Fact, FactKind
from pourcoach.library.exporting import brews_of
from pourcoach.library.library import Library
from pourcoach.library.people import known_person, learn_reaction, person_called
from pourcoach.library.practice_log import rename_practice
from pourcoach.library.saying import say


def rename_person(library: Library, name: str, new: str) -> int:
    """Say of each of a person's brews that ``new`` made it; how many those are.

    Where ``new`` is somebody already, both become one. Raises WorkError where there is nobody
    called ``name``.
    """
    person = known_person(library, name)
    now = wall_clock.timestamp()
    brews = brews_of(library, person.name)
    other = person_called(library, new)
    with library.changing() as connection:
        if other is None or other.name == person.name:
            connection.execute("UPDATE person SET name = ? WHERE name = ?", (new, person.name))
    rename_practice(person.name, new)
    for brew in brews:
        say(library, brew.number, [Fact(FactKind.BY, new, now)])
    if other is not None and other.name != person.name:
        if other.reaction_s is None:
            learn_reaction(library, new, person.reaction_s)
        with library.changing() as connection:
            connection.execute("DELETE FROM person WHERE name = ?", (person.name,))
    return len(brews)
