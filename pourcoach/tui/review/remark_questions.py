"""What the review asks the brewer for in words, to be kept with the brew."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from textual.app import App

from pourcoach.brewing.advice.move import Move, changes_in
from pourcoach.brewing.advice.taste import Taste, tastes_in
from pourcoach.coaching.flags.risk import BedLook
from pourcoach.domain.advice import Risk
from pourcoach.domain.afterwards import RemarkKind
from pourcoach.domain.errors import UsageError
from pourcoach.library.kept_evidence import WORSE, remark_words
from pourcoach.tui.dialogs.dialogs import AskScreen, PickScreen
from pourcoach.wording import bed_sentence

Keep = Callable[[RemarkKind, str, str], None]
"""Is given what a remark is about, its words, and what to say once it is kept."""


@dataclass(frozen=True, slots=True)
class RemarkQuestion:
    """One of them."""

    text: str
    kind: RemarkKind
    """What the answer is kept as."""
    done: str
    """Said when it is kept."""

    def said_of(self, answer: str) -> str:
        """What is said of an answer that was kept."""
        words = [word for word in remark_words(answer) if word != WORSE]
        if self.kind is RemarkKind.TASTE and not tastes_in(" ".join(words)):
            return f"{self.done} Advice knows other words: {_words(Taste)}"
        if self.kind is RemarkKind.CHANGE and words and not _are_changes(words):
            return f"{self.done} Advice knows other words: {_words(Move)}"
        return self.done


def _are_changes(words: list[str]) -> bool:
    try:
        changes_in(words)
    except UsageError:
        return False
    return True


def _words(kinds: type[Taste] | type[Move]) -> str:
    return ", ".join(kind.value for kind in kinds)


QUESTIONS: Mapping[str, RemarkQuestion] = {
    "note": RemarkQuestion("A note on this brew", RemarkKind.NOTE, "The note is kept."),
    "taste": RemarkQuestion(
        f"How did it taste? {_words(Taste)}", RemarkKind.TASTE, "The taste is kept."
    ),
    "changed": RemarkQuestion(
        f"What was changed against the brew before? {_words(Move)} (half-finer for half a step); "
        "nothing; and worse, if it was",
        RemarkKind.CHANGE,
        "What was changed is kept.",
    ),
}


def ask(app: App[Any], what: str, keep: Keep) -> None:
    """Ask one of ``QUESTIONS``, and have the answer kept, if any."""
    question = QUESTIONS[what]

    def answered(text: str | None) -> None:
        if text:
            keep(question.kind, text, question.said_of(text))

    app.push_screen(AskScreen(question.text), answered)


def ask_look(app: App[Any], risk: Risk, keep: Keep) -> None:
    """Ask how the bed looked, to be set beside the risk from the pour."""
    looks = tuple(look.value for look in BedLook)

    def answered(index: int | None) -> None:
        if index is not None:
            # The side, where it stands too, is hidden on a narrow screen.
            beside = bed_sentence(risk, BedLook(looks[index]))
            keep(RemarkKind.BED, looks[index], f"Kept. {beside}")

    app.push_screen(PickScreen("How did the bed look?", looks), answered)
