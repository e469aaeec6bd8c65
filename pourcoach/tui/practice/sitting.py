"""A sitting of practice on screens, from its first pour to its last."""

from collections.abc import Callable
from datetime import datetime

from pourcoach import wall_clock
from pourcoach.practice.assignment import Assignment
from pourcoach.practice.block.attempt import Step
from pourcoach.practice.block.summary import Summary
from pourcoach.practice.course import next_test
from pourcoach.reports.practice_figures import progress_lines
from pourcoach.scales.worked_out.kettle import CAN_AND_CANNOT
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.practice.drills import drills
from pourcoach.session.practice.progress import practice_progress
from pourcoach.session.practice.shelf import kept_pours
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.off_loop import in_thread
from pourcoach.tui.practice.drills_screen import DrillOffer
from pourcoach.tui.practice.head import Head
from pourcoach.tui.practice.message_screen import MessageScreen
from pourcoach.tui.practice.practice_screen import PracticeLeave, PracticeScreen
from pourcoach.tui.renderables.palette import Tone
from pourcoach.wording import practice as words
from pourcoach.wording.progress import next_sentence

Now = Callable[[], datetime]


async def sit(
    app: PourcoachApp, course: PracticeCourse, now: Now, troubles: list[str]
) -> PracticeLeave:
    """One sitting, on any app; how it was left. Raises the session's WorkError."""
    while (session := await in_thread(course.next)) is not None:
        kettle = session.kettle is not None
        screen = PracticeScreen(session, _needs(course, kettle=kettle), app.glyphs)
        how = await app.push_screen_wait(screen)
        if screen.error is not None:
            raise screen.error
        made = course.take(session)
        if session.brew.trouble is not None:
            troubles.append(session.brew.trouble)
        if made is not None:
            shown = MessageScreen(*_summed(made, session.attempt.assignment), app.glyphs)
            if how is PracticeLeave.NEXT:
                how = await app.push_screen_wait(shown)
        if how is not PracticeLeave.NEXT:
            return how
        if session.step is Step.OVER and session.attempt.result is None:
            # Nothing was poured, and the student did not leave: the same pour once more.
            continue
    return await app.push_screen_wait(MessageScreen(*_done(course, now), app.glyphs))


def _needs(course: PracticeCourse, *, kettle: bool) -> tuple[str, ...]:
    if kettle:
        return (CAN_AND_CANNOT,)
    return (f"Needed: {course.drill.needs}.", words.WATER_CAUTION)


def _summed(made: Summary, assignment: Assignment) -> tuple[Head, tuple[str, ...]]:
    lead = assignment.judged[0]
    noun = words.judged_noun(lead, 1)
    sentence = words.summary_sentence(made, lead.measure, assignment.asks.measure)
    return (
        Head(f"{made.pours} POURS", Tone.WAIT, f"{made.in_band}/{made.judged}"),
        (
            sentence,
            f"Bias is how far your pours lie off on average, in {noun}; spread is how much they "
            "differ from one another. They are mended apart.",
        ),
    )


def _done(course: PracticeCourse, now: Now) -> tuple[Head, tuple[str, ...]]:
    due = course.next_test
    said = ["All pours of this sitting are made."]
    if due is not None:
        said.append(words.due_sentence(due, now()))
    return Head("DONE", Tone.TARGET, sentence=course.drill.title), tuple(said)


def drill_offers(by: str | None) -> list[DrillOffer]:
    """All drills, with where this student stands in each. Reads tapes."""
    kept = kept_pours(by)
    offers: list[DrillOffer] = []
    for drill in drills()[0]:
        history = [pour.past for pour in kept if pour.assignment.drill == drill.name]
        due = next_test(history, drill.schedule)
        made = f"{len(history)} pours" if history else ""
        now = wall_clock.now()
        test = "" if due is None else f", {words.due_words(due, now)}"
        offers.append(DrillOffer(drill, made + test))
    return offers


def learnt_lines(by: str | None) -> list[str]:
    """The student's progress as text. Folds tapes."""
    found = practice_progress(by, wall_clock.now())
    return [*progress_lines(found.drills), next_sentence(found.next_drill)]
