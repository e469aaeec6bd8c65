"""A brew's row and tables made from what was said of it: the newest word on each thing holds."""

import sqlite3

from pourcoach.domain.afterwards import (
    Afterword,
    CupNote,
    FactKind,
    Remark,
    StrengthReading,
    current_facts,
    current_tags,
)
from pourcoach.domain.documents import from_json
from pourcoach.library.paths import path_of
from pourcoach.recordings.afterword_lines import decode_afterword
from pourcoach.recordings.shipped import stem_of

_TABLES = ("cup_note", "strength", "remark", "tag")


def describe(connection: sqlite3.Connection, number: int) -> None:
    """Write anew all tables that follow from what was said of the brew."""
    for table in _TABLES:
        connection.execute(f"DELETE FROM {table} WHERE brew_id = ?", (number,))
    (taped_by,) = connection.execute("SELECT taped_by FROM brew WHERE id = ?", (number,)).fetchone()
    words = said_of(connection, number)
    facts = {FactKind.BY: taped_by} | current_facts(words)
    tags = sorted(current_tags(words), key=str.casefold)
    strength_percent = None
    for word in words:
        _enter(connection, number, word)
        if isinstance(word, StrengthReading):
            strength_percent = round(100.0 * word.strength, 4)
    for tag in tags:
        connection.execute("INSERT OR IGNORE INTO tag VALUES (?, ?)", (number, tag))
    connection.execute(
        "UPDATE brew SET person_id = ?, coffee_id = ?, water_id = ?, title = ?, tags = ?,"
        " strength_percent = ? WHERE id = ?",
        (
            number_of(connection, "person", facts.get(FactKind.BY)),
            number_of(connection, "coffee", facts.get(FactKind.COFFEE)),
            number_of(connection, "water", facts.get(FactKind.WATER)),
            facts.get(FactKind.TITLE),
            "\n".join(tags),
            strength_percent,
            number,
        ),
    )
    gather_words(connection, number)


def describe_all(connection: sqlite3.Connection) -> None:
    """The same of every brew."""
    for (number,) in connection.execute("SELECT id FROM brew").fetchall():
        describe(connection, number)


def said_of(connection: sqlite3.Connection, number: int) -> list[Afterword]:
    """All that was said of the brew and is understood, oldest first."""
    rows = connection.execute("SELECT line FROM said WHERE brew_id = ? ORDER BY id", (number,))
    words = (decode_afterword(from_json(line)) for (line,) in rows)
    return [word for word in words if word is not None]


def gather_words(connection: sqlite3.Connection, number: int) -> None:
    """Write anew the text that a search looks through."""
    row = connection.execute(
        "SELECT tape, recorded_at, title, tags, person.name, coffee.name, water.name, headline,"
        " findings FROM brew"
        " LEFT JOIN person ON person.id = person_id LEFT JOIN coffee ON coffee.id = coffee_id"
        " LEFT JOIN water ON water.id = water_id"
        " LEFT JOIN judgement ON judgement.brew_id = brew.id WHERE brew.id = ?",
        (number,),
    ).fetchone()
    tape, *others = row
    parts = ["" if tape is None else stem_of(path_of(tape)), *others]
    for table in ("remark", "cup_note"):
        found = connection.execute(f"SELECT text FROM {table} WHERE brew_id = ?", (number,))
        parts += [text for (text,) in found]
    # Between them a line end, which no word that is searched for holds.
    words = "\n".join(part for part in parts if part).casefold()
    words = words.encode("utf-8", "replace").decode()
    connection.execute("UPDATE brew SET words = ? WHERE id = ?", (words, number))


def number_of(connection: sqlite3.Connection, table: str, name: str | None) -> int | None:
    """The row of ``table`` (person, coffee, water) that is called so, made where there is none;
    None for no name.
    """
    if not name:
        return None
    connection.execute(f"INSERT OR IGNORE INTO {table} (name) VALUES (?)", (name,))
    row = connection.execute(f"SELECT id FROM {table} WHERE name = ?", (name,)).fetchone()
    return int(row[0])


def _enter(connection: sqlite3.Connection, number: int, word: Afterword) -> None:
    match word:
        case Remark():
            connection.execute(
                "INSERT INTO remark (brew_id, made_at, kind, text) VALUES (?, ?, ?, ?)",
                (number, word.made_at, word.kind.value, word.text),
            )
        case StrengthReading():
            connection.execute(
                "INSERT INTO strength (brew_id, taken_at, strength, strength_error, beverage_g)"
                " VALUES (?, ?, ?, ?, ?)",
                (number, word.taken_at, word.strength, word.strength_error, word.beverage_g),
            )
        case CupNote():
            connection.execute(
                "INSERT INTO cup_note (brew_id, made_at, least, most, aroma, acidity, body,"
                " flavour, aftertaste, balance, text) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (
                    number,
                    word.made_at,
                    word.least,
                    word.most,
                    word.aroma,
                    word.acidity,
                    word.body,
                    word.flavour,
                    word.aftertaste,
                    word.balance,
                    word.text,
                ),
            )
