"""What the brewer says of a brew afterwards, kept in the library with its tape."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol

from pourcoach.brewing.advice.dialling_in import advise
from pourcoach.brewing.strength.measured_brew import MeasuredBrew
from pourcoach.domain.afterwards import Afterword, Fact, FactKind, Remark, RemarkKind
from pourcoach.domain.units import Percent
from pourcoach.library.brews import brew_on, open_brew
from pourcoach.library.entering import number_of_tape
from pourcoach.library.kept_evidence import evidence_of_recording, with_earlier_brews
from pourcoach.library.kept_strength import earlier_points, keep_strength
from pourcoach.library.library import Library, library_path
from pourcoach.library.saying import say
from pourcoach.places import tapes_folder
from pourcoach.recordings.shipped import shipped_folder, stem_of
from pourcoach.reports.trade.advice_page import advice_lines
from pourcoach.text_file import make_folder, write_text
from pourcoach.tui.dialogs.help_screen import WIDTH


class Keeper(Protocol):
    """Keeps what is said of one brew. Every method raises PourcoachError where it cannot."""

    def remark(self, kind: RemarkKind, text: str) -> None: ...

    def remarks(self) -> tuple[Remark, ...]:
        """What was said before, oldest first."""
        ...

    def say(self, words: Sequence[Afterword]) -> str | None:
        """Keep words with the brew; a sentence where they are not on its recording yet."""
        ...

    def strength(self, brew: MeasuredBrew) -> None: ...

    def water(self, name: str) -> None: ...

    def earlier(self) -> list[tuple[Percent, Percent]]:
        """Extraction and strength of the same brewer's other brews."""
        ...

    def export(self, lines: Sequence[str]) -> Path:
        """Write the review into a new file, beside a tape of the user's own, and say where."""
        ...

    def advice(self) -> list[str]:
        """What to change next, in lines of text. Reads the whole tape again: not for the loop."""
        ...


@dataclass(frozen=True, slots=True)
class KeptBrew:
    """A Keeper for the brew on ``tape``, which is entered in the library if it is not there yet."""

    tape: Path

    def remark(self, kind: RemarkKind, text: str) -> None:
        self.say([Remark(kind, text, _now())])

    def remarks(self) -> tuple[Remark, ...]:
        if not library_path().exists():
            return ()
        with Library(library_path()) as library:
            brew = brew_on(library, self.tape)
            return () if brew is None else open_brew(library, brew.number).remarks

    def strength(self, brew: MeasuredBrew) -> None:
        keep_strength(self.tape, brew)

    def water(self, name: str) -> None:
        self.say([Fact(FactKind.WATER, name, _now())])

    def earlier(self) -> list[tuple[Percent, Percent]]:
        return earlier_points(self.tape)

    def export(self, lines: Sequence[str]) -> Path:
        stem, folder = stem_of(self.tape), self.tape.parent
        if folder == shipped_folder():
            # The program's own folder is no place for what the user writes.
            folder = tapes_folder()
            make_folder(folder)
        number = 0
        while True:
            number += 1
            path = folder / f"{stem}-review{'' if number == 1 else f'-{number}'}.txt"
            if path.exists():
                continue  # An earlier export, or somebody's own: never written over.
            write_text(path, "\n".join(lines) + "\n")
            return path

    def advice(self) -> list[str]:
        evidence = with_earlier_brews(evidence_of_recording(self.tape), self.tape)
        return advice_lines(evidence, advise(evidence), why=True, width=WIDTH)

    def say(self, words: Sequence[Afterword]) -> str | None:
        with Library(library_path()) as library:
            return say(library, number_of_tape(library, self.tape), words)


def _now() -> str:
    return datetime.now().astimezone().isoformat(timespec="seconds")
