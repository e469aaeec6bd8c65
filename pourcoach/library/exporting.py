"""All that is kept of one person, in a folder to hand over."""

from collections.abc import Sequence
from dataclasses import asdict
from enum import Enum
from pathlib import Path
from typing import Any

from pourcoach.domain.errors import WorkError
from pourcoach.domain.printable import json_text
from pourcoach.library.brews import find_brews, open_brew
from pourcoach.library.copying import copy_tape
from pourcoach.library.library import Library
from pourcoach.library.people import known_person
from pourcoach.library.practice_log import practice_logs, practice_of
from pourcoach.library.records import Brew, OpenedBrew, Search
from pourcoach.text_file import make_folder, write_atomically

BREWS = "brews.jsonl"
PERSON = "person.json"
TAPES = "tapes"


def export_person(library: Library, name: str, folder: Path) -> tuple[int, list[Brew]]:
    """Write what the library, the tapes and the practice logs hold of a person into a new
    ``folder``: ``person.json`` with the lines of those logs, ``brews.jsonl`` with one object a
    brew, and the recordings, which can be imported again.

    Gives the number of brews, deleted ones among them, and those whose recording is not there any
    more. Raises WorkError where there is nobody of that name or the folder holds anything.
    """
    person = known_person(library, name)
    try:
        taken = folder.exists() and any(folder.iterdir())
    except OSError:
        taken = True
    if taken:
        raise WorkError(f"{folder} is there already", "name a new folder, or an empty one")
    make_folder(folder)
    brews = brews_of(library, person.name)
    lines, lost = [], []
    for brew in brews:
        recording = None
        if brew.tape.is_file():
            recording = copy_tape(brew.tape, folder / TAPES).relative_to(folder)
        else:
            lost.append(brew)
        lines.append(json_text(all_of(open_brew(library, brew.number), recording)))
    write_atomically(folder / BREWS, "".join(f"{line}\n" for line in lines))
    practice = [line for log in practice_logs() for line in practice_of(log, person.name, dict)]
    write_atomically(folder / PERSON, json_text(asdict(person) | {"practice": practice}) + "\n")
    return len(brews), lost


def brews_of(library: Library, name: str) -> list[Brew]:
    """All of a person's brews, deleted ones last."""
    return [
        *find_brews(library, Search(by=name)),
        *find_brews(library, Search(by=name, binned=True)),
    ]


def all_of(opened: OpenedBrew, recording: Path | None = None) -> dict[str, Any]:
    """All that is known of a brew as one JSON object; ``recording`` is where its tape is said to
    be, if not where it is.
    """
    brew, judgement = opened.brew, opened.judgement
    if recording is None and not brew.is_missing:
        recording = brew.tape
    return {
        "id": brew.id,
        "recording": None if recording is None else str(recording),
        "recorded_at": brew.recorded_at,
        "title": brew.title,
        "by": brew.by,
        "coffee": brew.coffee,
        "water": brew.water,
        "tags": list(brew.tags),
        "scale": opened.scale,
        "remarks": _plain(opened.remarks),
        "cup_notes": _plain(opened.cup_notes),
        "strengths": _plain(opened.strengths),
        "judged_by": None if judgement is None else judgement.judged_by,
        "figures": None if judgement is None else judgement.figures,
    }


def _plain(values: Sequence[Any]) -> list[dict[str, Any]]:
    return [
        {
            key: value.value if isinstance(value, Enum) else value
            for key, value in asdict(each).items()
        }
        for each in values
    ]
