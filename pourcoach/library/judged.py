"""What was worked out from a tape, kept with the version that worked it out."""

import json
import sqlite3
import struct
import zlib
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

import pourcoach
from pourcoach.domain.printable import json_text
from pourcoach.library.describing import gather_words
from pourcoach.library.library import Library
from pourcoach.library.records import Curve, Judgement

# What a figure depends on. A sentence in 'wording' changes no figure.
_JUDGING = (
    "brewing",
    "coaching",
    "domain",
    "estimation",
    "pipeline.py",
    "practice/block",
    "reports/brew/verdict.py",
)
_HASH_LENGTH = 8


@cache
def judging_version() -> str:
    """The program's version and a hash of the code that judges, so that no figure of an older
    estimator passes for one of a newer.
    """
    root = Path(pourcoach.__file__).parent
    digest = sha256()
    for part in _JUDGING:
        path = root / part
        files = sorted(path.rglob("*.py")) if path.is_dir() else [path]
        for file in files:
            if file.is_file():
                digest.update(file.read_bytes())
    return f"{pourcoach.__version__}+{digest.hexdigest()[:_HASH_LENGTH]}"


def keep_judgement(library: Library, number: int, judgement: Judgement) -> None:
    """Keep a brew's figures in place of those that it had."""
    figures = judgement.figures
    marks = figures.get("marks") or {}
    flags = figures.get("flags") or []
    kinds = list(dict.fromkeys(str(flag["kind"]) for flag in flags))
    with library.changing() as connection:
        if connection.execute("SELECT 1 FROM brew WHERE id = ?", (number,)).fetchone() is None:
            return  # Deleted meanwhile.
        for table in ("judgement", "finding", "mark"):
            connection.execute(f"DELETE FROM {table} WHERE brew_id = ?", (number,))
        connection.execute(
            "INSERT INTO judgement VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                number,
                judgement.judged_by,
                judgement.rubric,
                figures.get("water_g"),
                figures.get("brew_s"),
                figures.get("headline") or "NOTHING CAME",
                marks.get("met", 0),
                marks.get("judged", 0),
                " ".join(kinds),
                json_text(figures),
                packed_curve(judgement.curve),
            ),
        )
        connection.executemany(
            "INSERT INTO finding VALUES (?, ?, ?, ?, ?)",
            [
                (number, flag["kind"], flag["stage"], flag["start_s"], flag["confidence"])
                for flag in flags
            ],
        )
        connection.executemany(
            "INSERT INTO mark VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            [(number, *_mark(mark)) for mark in marks.get("criteria", [])],
        )
        gather_words(connection, number)


def judgement_of(connection: sqlite3.Connection, number: int) -> Judgement | None:
    """The figures that a brew has; None where it is not judged yet."""
    row = connection.execute(
        "SELECT made_by, rubric, figures, curve FROM judgement WHERE brew_id = ?", (number,)
    ).fetchone()
    if row is None:
        return None
    made_by, rubric, figures, curve = row
    return Judgement(made_by, rubric, json.loads(figures), unpacked_curve(curve))


def packed_curve(curve: Curve) -> bytes:
    """A curve as the table has it; ``unpacked_curve`` gives it back to a ten-millionth part."""
    numbers = [number for point in curve for number in point]
    return zlib.compress(struct.pack(f"<{len(numbers)}f", *numbers))


def unpacked_curve(data: bytes) -> Curve:
    """Empty where ``data`` is no curve."""
    try:
        plain = zlib.decompress(data)
        numbers = struct.unpack(f"<{len(plain) // 4}f", plain)
    except (zlib.error, struct.error):
        return ()
    return tuple(zip(numbers[::3], numbers[1::3], numbers[2::3], strict=False))


def _mark(mark: dict[str, Any]) -> tuple[Any, ...]:
    keys = ("title", "measure", "stage", "value", "least", "most", "met", "weight")
    return tuple(mark[key] for key in keys)
