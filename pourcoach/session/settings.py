"""The user's ``config.toml``: defaults that options win over."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.documents import DocumentError, from_toml
from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.domain.number import number_in
from pourcoach.domain.setup import USUAL_REACTION_S, fall_height_cm
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
        data = from_toml(text)
    except DocumentError as error:
        raise WorkError(
            f"the settings {path} are no TOML: {error}", "mend it or use --no-config"
        ) from None
    try:
        return _settings(data)
    except UsageError as error:
        # The file's fault, not of whoever called a command.
        raise WorkError(f"{path}: {error.what}", error.remedy) from None


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


def _settings(data: dict[str, Any]) -> Settings:
    known: dict[str, Any] = {}
    unknown: list[str] = []
    for key, value in data.items():
        match key:
            case "scale" | "by":
                known[key] = _text(key, value)
            case "glyphs":
                known[key] = _one_of(key, value, GLYPHS)
            case "theme":
                known[key] = _one_of(key, value, THEMES)
            case "reaction_s":
                known[key] = _seconds(key, value, LONGEST_REACTION_S)
            case "scale_delay_s":
                known[key] = _seconds(key, value, LONGEST_SCALE_DELAY_S)
            case "fall_height_cm":
                known[key] = fall_height_cm(value)
            case "sound":
                known[key] = _text(key, value)
            case "volume":
                known[key] = volume_percent(value)
            case "plan":
                if not isinstance(value, dict):
                    raise UsageError("the setting plan is no table", "write it as [plan]")
                # What is wrong in it is reported of this file, not of the command that meets it.
                PlanRequest.from_dict(value)
                known[key] = value
            case _:
                unknown.append(key)
    return Settings(**known, unknown=tuple(unknown))


def volume_percent(value: object) -> int:
    """Raises UsageError for anything but a number from 0 to 100."""
    remedy = "make it a number from 0 to 100, in percent"
    return round(number_in(value, "the volume", least=0, most=100, remedy=remedy))


def _text(key: str, value: object) -> str:
    if not isinstance(value, str) or not value:
        raise UsageError(f"the setting {key} is {value!r}", "give it a text in quotes")
    return value


def _one_of(key: str, value: object, choices: tuple[str, ...]) -> str:
    if value not in choices:
        raise UsageError(f"the setting {key} is {value!r}", "use one of " + ", ".join(choices))
    return str(value)


def _seconds(key: str, value: object, most: Seconds) -> Seconds:
    remedy = f"make it a number of seconds from 0 to {most:g}"
    return number_in(value, f"the setting {key}", least=0.0, most=most, remedy=remedy)
