"""A library in memory, with two dozen brews."""

from collections.abc import Callable, Sequence
from threading import Event
from typing import Any

from pourcoach.domain.afterwards import Afterword, CupNote, Remark, RemarkKind
from pourcoach.domain.errors import WorkError
from pourcoach.library.entering import recorded_s
from pourcoach.library.records import Brew, Judgement, OpenedBrew, Search
from pourcoach.session.judging.many import Progress
from tests.tui.made_frames import PLAN

NOON = "2026-01-15T12:00:00+00:00"
CURVE = tuple((t / 2, min(320.0, 1.7 * t), 3.4) for t in range(380))


def brew(number: int, by: str | None = "Ada", **more: Any) -> Brew:
    recorded_at = f"2026-01-{31 - number % 28:02d}T09:30:00+00:00"
    made = Brew(
        number=number,
        content=f"{number:064x}"[::-1],
        tape_key=f"/tapes/{number}.jsonl",
        missing=0,
        recorded_at=recorded_at,
        recorded_s=recorded_s(recorded_at),
        title=None,
        by=by,
        coffee=None,
        water=None,
        tag_lines="",
        strength_percent=None,
        water_g=319.6,
        brew_s=190.0,
        headline="NO FAULT",
        finding_words="",
        marks_met=12,
        marks_of=12,
        judged_by="1",
    )
    return made._replace(**more)


BREWS = [
    brew(1, coffee="Washed 7", tag_lines="exam", strength_percent=1.32, title="the even one"),
    brew(2, "Ben", headline="LET IT BLOOM", finding_words="bloom-short", marks_met=11),
    brew(3, "\x1b[2JCy [bold]" + "x" * 80, headline="STOP SOONER", marks_met=9),
    brew(4, None, missing=1),
    *(brew(number, "Dee") for number in range(5, 25)),
]


class FakeShelf:
    """A library in memory."""

    def __init__(self, brews: Sequence[Brew] = BREWS) -> None:
        self.kept = list(brews)
        self.binned: list[Brew] = []
        self.said: list[tuple[int, Sequence[Afterword]]] = []
        self.searched: list[str] = []
        self.unjudged = 0
        self.judged = 0
        self.held: Event | None = None
        self.sentences: list[str] = []
        self.trouble: WorkError | None = None

    def look(self) -> list[str]:
        return self.sentences

    def brews(self, search: Search, most: int | None = None) -> list[Brew]:
        if self.trouble is not None:
            raise self.trouble
        self.searched.append(search.text)
        words = search.text.split()
        found = [one for one in self.kept if all(word in f"{one.by} {one.tags}" for word in words)]
        return found[:most]

    def open(self, number: int) -> OpenedBrew:
        (found,) = (one for one in self.kept if one.number == number)
        cup = CupNote(NOON, 0.0, 10.0, acidity=7.0, body=5.0, text="ripe plum")
        return OpenedBrew(
            brew=found,
            judgement=Judgement("1", "r", {}, CURVE),
            remarks=(Remark(RemarkKind.NOTE, "kettle swapped", NOON),),
            cup_notes=(cup,) if number == 1 else (),
            strengths=(),
            plan=PLAN,
            scale=None,
        )

    def judge(self, progress: Progress, stopped: Callable[[], bool]) -> list[str]:
        for done in range(1, self.unjudged + 1):
            progress(done, self.unjudged)
            if self.held is not None:
                self.held.wait()
            if stopped():
                break
            self.judged = done
        return []

    def delete(self, brews: Sequence[Brew]) -> None:
        self.binned += brews
        self.kept = [one for one in self.kept if one not in brews]

    def restore(self, brews: Sequence[Brew]) -> None:
        self.kept += brews

    def say(self, number: int, words: Sequence[Afterword]) -> str | None:
        self.said.append((number, words))
        return None
