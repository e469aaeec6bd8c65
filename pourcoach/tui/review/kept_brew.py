"""What the brewer says of a brew afterwards, kept in the library with its tape."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from pourcoach import wall_clock
from pourcoach.brewing.advice.dialling_in import advise
from pourcoach.brewing.strength.measured_brew import MeasuredBrew
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.afterwards import Afterword, Fact, FactKind, Impression, Remark, RemarkKind
from pourcoach.domain.units import Percent
from pourcoach.library.brews import brew_on, open_brew
from pourcoach.library.entering import number_of_tape
from pourcoach.library.kept_evidence import evidence_of_recording, with_earlier_brews
from pourcoach.library.kept_strength import earlier_points, keep_strength
from pourcoach.library.library import Library, library_path
from pourcoach.library.saying import say
from pourcoach.places import tapes_folder
from pourcoach.recordings.shipped import shipped_folder, stem_of
from pourcoach.reports.brew.brew_report import BrewReport, read_brew
from pourcoach.reports.brew.plain_review import review_lines
from pourcoach.reports.report_file import BREW_SUFFIXES, brews_writer
from pourcoach.reports.trade.advice_page import advice_lines
from pourcoach.session.rubric_in_use import judged_under
from pourcoach.text_file import make_folder, write_bytes
from pourcoach.tui.dialogs.help_screen import WIDTH

TEXT = ".txt"
"""The suffix of a review in plain text; a report has the others."""


class Keeper(Protocol):
    """Keeps what is said of one brew. Every method raises PourcoachError where it cannot."""

    def remark(self, kind: RemarkKind, text: str) -> None: ...

    def impressions(self) -> tuple[Impression, ...]:
        """What was said before: cup, strength, remarks, the oldest of each first."""
        ...

    def say(self, words: Sequence[Afterword]) -> str | None:
        """Keep words with the brew; a sentence where they are not on its recording yet."""
        ...

    def strength(self, brew: MeasuredBrew) -> None: ...

    def water(self, name: str) -> None: ...

    def earlier(self) -> list[tuple[Percent, Percent]]:
        """Extraction and strength of the same brewer's other brews."""
        ...

    def export_name(self) -> str:
        """A file, a page, that is not there yet."""
        ...

    def export(self, name: str, rubric: Rubric) -> Path:
        """Write the brew, marked by ``rubric``, into a new file as its suffix says, and say where:
        beside a tape of the user's own, unless ``name`` has a folder. A suffix alone is a name too.
        Reads the whole tape again.
        """
        ...

    def advice(self) -> list[str]:
        """What to change next, in lines of text. Reads the whole tape again: not for the loop."""
        ...


@dataclass(frozen=True, slots=True)
class KeptBrew:
    """A Keeper for the brew on ``tape``, which is entered in the library if it is not there yet."""

    tape: Path

    def remark(self, kind: RemarkKind, text: str) -> None:
        self.say([Remark(kind, text, wall_clock.timestamp())])

    def impressions(self) -> tuple[Impression, ...]:
        if not library_path().exists():
            return ()
        with Library(library_path()) as library:
            brew = brew_on(library, self.tape)
            if brew is None:
                return ()
            opened = open_brew(library, brew.number)
            return (*opened.cup_notes, *opened.strengths, *opened.remarks)

    def strength(self, brew: MeasuredBrew) -> None:
        keep_strength(self.tape, brew)

    def water(self, name: str) -> None:
        self.say([Fact(FactKind.WATER, name, wall_clock.timestamp())])

    def earlier(self) -> list[tuple[Percent, Percent]]:
        return earlier_points(self.tape)

    def export_name(self, suffix: str = ".html") -> str:
        number, name = 1, f"{stem_of(self.tape)}-review{suffix}"
        while (self._folder / name).exists():
            number += 1
            name = f"{stem_of(self.tape)}-review-{number}{suffix}"
        return name

    def export(self, name: str, rubric: Rubric) -> Path:
        alone = f".{name.lstrip('.')}".lower()
        if alone in (TEXT, *BREW_SUFFIXES):
            name = self.export_name(alone)
        path = self._folder / Path(name).expanduser()
        write = None if path.suffix.lower() == TEXT else brews_writer(path.suffix)
        brew = read_brew(self.tape, rubric, lambda header: judged_under(header, rubric))
        if self._folder == tapes_folder():
            make_folder(self._folder)
        write_bytes(path, _text(brew, rubric) if write is None else write([brew]))
        return path

    @property
    def _folder(self) -> Path:
        # The program's own folder is no place for what the user writes.
        shipped = self.tape.parent == shipped_folder()
        return tapes_folder() if shipped else self.tape.parent

    def advice(self) -> list[str]:
        evidence = with_earlier_brews(evidence_of_recording(self.tape), self.tape)
        return advice_lines(evidence, advise(evidence), why=True, width=WIDTH)

    def say(self, words: Sequence[Afterword]) -> str | None:
        with Library(library_path()) as library:
            return say(library, number_of_tape(library, self.tape), words)


def _text(brew: BrewReport, rubric: Rubric) -> bytes:
    if brew.last is None:
        return f"{brew.result}\n".encode()
    lines = review_lines(brew.last, brew.plan, rubric, brew.arrangement)
    return "".join(f"{line}\n" for line in [*lines, *brew.said]).encode("utf-8", "replace")
