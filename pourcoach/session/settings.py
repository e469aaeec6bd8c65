"""The user's ``config.toml``: defaults that options win over."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.domain.number import number_in
from pourcoach.domain.printable import LONGEST_NAME
from pourcoach.domain.setup import USUAL_REACTION_S, delay_s, fall_height_cm
from pourcoach.domain.units import Seconds
from pourcoach.text_file import read_text, write_atomically

GLYPHS = ("auto", "full", "cp437", "ascii")
THEMES = ("auto", "dark", "light", "high-contrast", "projector", "16-colour")
# A person's lead in stopping a pour lies well inside this: simple reactions are near 0.2 s
# (Welford 1980) and nobody leads by more than a second and a half.
LONGEST_REACTION_S: Seconds = 1.5
# An ADC that settles over 4 samples at 10 Hz is 0.4 s late; more than this is a typing slip.
LONGEST_SCALE_DELAY_S: Seconds = 2.0
# Heard beside a kettle, and startling nobody with headphones on. Chosen, with no source.
USUAL_VOLUME = 40
LOUDEST = 100
VOLUME_REMEDY = f"make it a number from 0 to {LOUDEST}, in percent"
# Of an address: a path on any system is shorter.
LONGEST_ADDRESS = 4096
_BY = re.compile(r"""\s*["']?by["']?\s*=""")


@dataclass(frozen=True, slots=True)
class Settings:
    """What may stand in ``config.toml``; each field's name is its key."""

    scale: str | None = None
    """Scale address."""
    by: str | None = None
    """Who brews."""
    glyphs: str = "auto"
    """One of GLYPHS."""
    theme: str = "auto"
    """One of THEMES; auto suits the terminal's colours."""
    reaction_s: Seconds = USUAL_REACTION_S
    scale_delay_s: Seconds = 0.0
    fall_height_cm: float | None = None
    """From the spout to the bed; None takes the usual."""
    plan: Mapping[str, Any] = field(default_factory=dict)
    """Plan defaults, judged by whoever works the plan out."""
    sound: str | None = None
    """What is to be heard, as ``--sound`` takes it; None is silence."""
    volume: int = USUAL_VOLUME
    """Of the sound, in percent."""
    unknown: tuple[str, ...] = ()
    """Keys of the file that mean nothing here, to be reported to the user."""


def read_settings(path: Path) -> Settings:
    """Read the file; the defaults where there is none.

    Raises WorkError where it cannot be read, is no TOML or has a value of a wrong kind.
    Unknown keys are given in ``unknown``.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return Settings()
    except (OSError, UnicodeDecodeError) as error:
        raise WorkError(
            f"cannot read the settings {path}: {reason(error)}", "mend it or use --no-config"
        ) from None
    try:
        return _settings(CheckedTable.from_toml(str(path), text))
    except UsageError as error:
        # The file's fault, not of whoever called a command.
        raise WorkError(error.what, f"{error.remedy}, or use --no-config") from None


def forget_name(path: Path, name: str) -> bool:
    """Take the brewer's name out of the file if it is ``name``; whether it was.

    Raises WorkError where the file cannot be read or written.
    """
    by = read_settings(path).by
    if by is None or by.casefold() != name.casefold():
        return False
    lines = read_text(path, "the settings").splitlines(keepends=True)
    write_atomically(path, "".join(line for line in lines if not _BY.match(line)))
    if read_settings(path).by is not None:
        raise WorkError(f"the settings {path} still name {by}", "take the line with 'by' out")
    return True


def volume_percent(value: float) -> int:
    """Raises UsageError for anything but a number from 0 to 100."""
    return round(number_in(value, "the volume", least=0, most=LOUDEST, remedy=VOLUME_REMEDY))


def _settings(table: CheckedTable) -> Settings:
    plan = table.table("plan", optional=True)
    # What is wrong in it is reported of this file, not of the command that meets it.
    PlanRequest.from_table(plan)
    plan.done()
    volume = table.number("volume", USUAL_VOLUME, least=0, most=LOUDEST, remedy=VOLUME_REMEDY)
    return Settings(
        scale=_words(table, "scale", LONGEST_ADDRESS),
        by=_words(table, "by", LONGEST_NAME),
        glyphs=table.one_of("glyphs", {name: name for name in GLYPHS}, GLYPHS[0]),
        theme=table.one_of("theme", {name: name for name in THEMES}, THEMES[0]),
        reaction_s=delay_s(table, "reaction_s", USUAL_REACTION_S, LONGEST_REACTION_S),
        scale_delay_s=delay_s(table, "scale_delay_s", 0.0, LONGEST_SCALE_DELAY_S),
        fall_height_cm=fall_height_cm(table),
        plan=plan.as_dict(),
        sound=_words(table, "sound", LONGEST_NAME),
        volume=round(volume),
        unknown=tuple(table.unknown()),
    )


def _words(table: CheckedTable, key: str, longest: int) -> str | None:
    return table.words(key, longest=longest) if key in table else None
