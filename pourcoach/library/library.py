"""People, brews, cup strengths and remarks, in one SQLite file on this machine."""

import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from pourcoach.domain.errors import WorkError, reason
from pourcoach.domain.units import Seconds
from pourcoach.library.records import Brew, Person, Remark, RemarkKind, StrengthReading
from pourcoach.library.schema import bring_up_to_date
from pourcoach.places import OWNER_ONLY_FILE, data_folder, private_folder

# Two programs may keep brews at once (two stations, one machine): the later one waits. Another's
# change takes some milliseconds, and a key press that waits longer than this feels lost.
BUSY_TIMEOUT_S = 0.5
# Six stations may be the first to open a new library at once, and one of them makes it.
MAKING_TIMEOUT_S = 5.0


def library_path() -> Path:
    """The library in the user's data folder."""
    return data_folder() / "library.sqlite3"


class Library:
    """An open library. Every method that changes it is whole or not at all.

    Raises WorkError where the file cannot be opened, is no library, or refuses to be written.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        with self._telling():
            _make_private(path)
            self._connection = sqlite3.connect(path, timeout=MAKING_TIMEOUT_S)
            try:
                bring_up_to_date(self._connection, str(path))
                self._connection.execute(f"PRAGMA busy_timeout = {1000 * BUSY_TIMEOUT_S:.0f}")
                self._connection.execute("PRAGMA foreign_keys = ON")
            except BaseException:
                self._connection.close()
                raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._connection.close()

    def keep_brew(self, tape: Path, recorded_at: str, by: str | None = None) -> int:
        """Enter a brew and give its number; the same tape again keeps its number."""
        with self._changing() as connection:
            connection.execute(
                "INSERT INTO brew (tape, recorded_at, person_id) VALUES (?, ?, ?)"
                " ON CONFLICT (tape) DO UPDATE SET person_id = excluded.person_id",
                (_key(tape), recorded_at, self._person_id(connection, by)),
            )
            return self._number_of(connection, tape)

    def name_water(self, tape: Path, water: str) -> None:
        """Say which saved water the brew was made with."""
        with self._changing() as connection:
            number = self._number_of(connection, tape)
            connection.execute("UPDATE brew SET water = ? WHERE id = ?", (water, number))

    def add_strength(self, tape: Path, reading: StrengthReading) -> None:
        """Store a strength reading with the brew."""
        with self._changing() as connection:
            connection.execute(
                "INSERT INTO strength (brew_id, taken_at, strength, strength_error, beverage_g)"
                " VALUES (?, ?, ?, ?, ?)",
                (
                    self._number_of(connection, tape),
                    reading.taken_at,
                    reading.strength,
                    reading.strength_error,
                    reading.beverage_g,
                ),
            )

    def add_remark(self, tape: Path, remark: Remark) -> None:
        """Store words with the brew."""
        with self._changing() as connection:
            connection.execute(
                "INSERT INTO remark (brew_id, made_at, kind, text) VALUES (?, ?, ?, ?)",
                (self._number_of(connection, tape), remark.made_at, remark.kind.value, remark.text),
            )

    def brews(self, by: str | None = None, most: int = 100) -> list[Brew]:
        """The newest first; of one person where ``by`` names one."""
        return self._brews(":by IS NULL OR person.name = :by", {"by": by, "most": most})

    def tapes(self) -> set[Path]:
        """Those of all brews, each with its whole path."""
        with self._telling():
            rows = self._connection.execute("SELECT tape FROM brew").fetchall()
        return {Path(os.fsdecode(tape)) for (tape,) in rows}

    def brew(self, tape: Path) -> Brew | None:
        """The brew of that tape; None where it is not kept."""
        found = self._brews("tape = :tape", {"tape": _key(tape), "most": 1})
        return found[0] if found else None

    def person(self, name: str) -> Person | None:
        """None where nobody of that name has brewed."""
        with self._telling():
            row = self._connection.execute(
                "SELECT name, reaction_s FROM person WHERE name = ?", (name,)
            ).fetchone()
        return None if row is None else Person(*row)

    def learn_reaction(self, name: str, reaction_s: Seconds | None) -> None:
        """Keep what was learnt of a person's lead; None forgets it."""
        with self._changing() as connection:
            self._person_id(connection, name)
            connection.execute(
                "UPDATE person SET reaction_s = ? WHERE name = ?", (reaction_s, name)
            )

    def _brews(self, which: str, values: dict[str, str | bytes | int | None]) -> list[Brew]:
        with self._telling():
            rows = self._connection.execute(
                "SELECT brew.id, tape, recorded_at, person.name, water FROM brew"
                f" LEFT JOIN person ON person.id = person_id WHERE {which}"
                " ORDER BY recorded_at DESC, brew.id DESC LIMIT :most",
                values,
            ).fetchall()
            return [self._brew(*row) for row in rows]

    def _brew(
        self, number: int, tape: str | bytes, recorded_at: str, by: str | None, water: str | None
    ) -> Brew:
        strengths = self._connection.execute(
            "SELECT strength, strength_error, beverage_g, taken_at FROM strength"
            " WHERE brew_id = ? ORDER BY id",
            (number,),
        )
        remarks = self._connection.execute(
            "SELECT kind, text, made_at FROM remark WHERE brew_id = ? ORDER BY id", (number,)
        )
        return Brew(
            number=number,
            tape=Path(os.fsdecode(tape)),
            recorded_at=recorded_at,
            by=by,
            water=water,
            strengths=tuple(StrengthReading(*row) for row in strengths),
            remarks=tuple(Remark(RemarkKind(kind), text, at) for kind, text, at in remarks),
        )

    def _person_id(self, connection: sqlite3.Connection, name: str | None) -> int | None:
        if name is None:
            return None
        connection.execute("INSERT OR IGNORE INTO person (name) VALUES (?)", (name,))
        row = connection.execute("SELECT id FROM person WHERE name = ?", (name,)).fetchone()
        return int(row[0])

    def _number_of(self, connection: sqlite3.Connection, tape: Path) -> int:
        row = connection.execute("SELECT id FROM brew WHERE tape = ?", (_key(tape),)).fetchone()
        if row is None:
            raise WorkError(
                f"{tape} is not in the library", "brew with pourcoach, or name a tape it kept"
            )
        return int(row[0])

    @contextmanager
    def _changing(self) -> Iterator[sqlite3.Connection]:
        with self._telling(), self._connection:
            yield self._connection

    @contextmanager
    def _telling(self) -> Iterator[None]:
        try:
            yield
        except (sqlite3.Error, OSError, UnicodeError) as error:
            if getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_BUSY:
                raise WorkError(
                    f"another program is writing to the library {self._path}",
                    "try again in a moment; tapes are kept all the same",
                ) from None
            why = reason(error) if isinstance(error, OSError) else error
            raise WorkError(
                f"the library {self._path} cannot be used: {why}",
                "free the disk or move the file away; tapes are kept all the same",
            ) from None


def _make_private(path: Path) -> None:
    """The file, for its owner alone; one that is there already becomes so. Raises OSError."""
    private_folder(path.parent)
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL, OWNER_ONLY_FILE))
    except FileExistsError:
        if stat.S_IMODE(path.stat().st_mode) & ~OWNER_ONLY_FILE:
            # Another's library, read by leave, is left as it is.
            with suppress(PermissionError):
                path.chmod(OWNER_ONLY_FILE)


def _key(tape: Path) -> str | bytes:
    """The tape's whole path as the table has it: bytes where it is no text."""
    whole = str(tape.resolve())
    try:
        whole.encode()
    except UnicodeEncodeError:
        return os.fsencode(whole)
    return whole
