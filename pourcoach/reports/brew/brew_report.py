"""One brew as reports show it: every word and figure made once, for page, table and chart alike."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pourcoach.coaching.flags.risk import BedLook, bed_look
from pourcoach.coaching.marking.marking import Marks, mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.afterwards import FactKind, current_facts
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.printable import printable
from pourcoach.recordings.contents import afterwords_on
from pourcoach.recordings.fold import JudgedTape, judged_tape
from pourcoach.recordings.shipped import stem_of
from pourcoach.recordings.tape import TapeHeader
from pourcoach.reports.brew.brew_line import when
from pourcoach.reports.brew.curve import BrewCurve, CurveTaker, brew_curve
from pourcoach.reports.brew.noted import Noted, noted
from pourcoach.reports.brew.said_afterwards import said_sentences
from pourcoach.reports.brew.stage_table import StageRow, result_line, stage_rows
from pourcoach.reports.brew.verdict import Verdict, risk_or_why_not, verdict
from pourcoach.wording import arrangement_sentence, bed_sentence, moment_words


@dataclass(frozen=True, slots=True)
class BrewReport:
    """A judged recording with its marks and its curve."""

    recording: str
    """The file as it was named."""
    tape: JudgedTape
    marks: Marks | None
    """None where nothing came."""
    curve: BrewCurve
    said: tuple[str, ...] = ()
    """What was said of it afterwards, a sentence each."""
    title: str | None = None
    """What it was named afterwards."""
    look: BedLook | None = None
    """How the bed looked, where that was said in a known word."""

    @property
    def last(self) -> Frame | None:
        return self.tape.last

    @property
    def plan(self) -> Plan | None:
        return self.tape.header.plan

    @property
    def arrangement(self) -> Arrangement:
        return self.tape.header.setup.arrangement

    @property
    def dripped(self) -> bool:
        """Whether the scale weighed what dripped out, and no pour."""
        return self.arrangement is Arrangement.SERVER_ON_SCALE

    @property
    def by(self) -> str | None:
        return self.tape.header.by

    @property
    def when(self) -> str:
        """Day and minute; a dash where they are not known."""
        return when(self.tape.header.recorded_at)

    @property
    def name(self) -> str:
        """Its title; else the recording's name without folder and suffix, fit to be shown."""
        return self.title or printable(stem_of(Path(self.recording)))

    @property
    def lead(self) -> Verdict | None:
        """What the review leads with; None where nothing came."""
        if self.last is None:
            return None
        return verdict(self.last, self.plan, self.marks, self.arrangement)

    @property
    def result(self) -> str:
        """What came out, in one line."""
        if self.last is None:
            return "Nothing came from the scale, so there is nothing to review."
        return result_line(self.last.pour, self.plan, self.arrangement)

    @property
    def contradiction(self) -> str | None:
        """Where the readings contradict what is said to stand on the scale."""
        return None if self.last is None else arrangement_sentence(self.last.pour)

    @property
    def rows(self) -> tuple[StageRow, ...]:
        return () if self.last is None else stage_rows(self.last, self.plan, self.arrangement)

    @property
    def noted(self) -> tuple[Noted, ...]:
        if self.last is None:
            return ()
        return noted(self.last.flags, self.last.pour.brew_start_s)

    @property
    def moments(self) -> tuple[str, ...]:
        """The brewer's own marks and notes, a sentence each."""
        if self.last is None:
            return ()
        start_s = self.last.pour.brew_start_s
        return tuple(moment_words(moment, start_s) for moment in self.last.moments)

    @property
    def risk(self) -> tuple[str, ...]:
        """The channeling risk, and what the bed says to it."""
        if self.last is None:
            return ()
        beside = () if self.look is None else (bed_sentence(self.last.risk, self.look),)
        return (*risk_or_why_not(self.last, self.arrangement), *beside)


def read_brew(
    path: Path, rubric: Rubric, under: Callable[[TapeHeader], TapeHeader], name: str | None = None
) -> BrewReport:
    """Judge a recording by ``rubric``; ``under`` puts its limits into the header, ``name`` is how
    it was named. Raises WorkError where it cannot be read or is no recording.
    """
    curve = CurveTaker()
    tape = judged_tape(path, under, curve.take)
    header, last = tape.header, tape.last
    marks = None if last is None else mark(last, header.plan, rubric, header.setup.arrangement)
    recording = str(path) if name is None else name
    words = afterwords_on(path)
    return BrewReport(
        recording,
        tape,
        marks,
        brew_curve(last, curve.points),
        tuple(said_sentences(words)),
        current_facts(words).get(FactKind.TITLE),
        bed_look(words),
    )
