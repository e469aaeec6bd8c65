"""The library brought up to what the tapes hold, and made anew of them."""

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import WorkError, reason
from pourcoach.domain.units import Seconds
from pourcoach.library.brews import find_brews, unjudged
from pourcoach.library.entering import enter_tape
from pourcoach.library.judged import judging_version
from pourcoach.library.library import BrokenLibraryError, Library
from pourcoach.library.people import learn_reaction, person_called
from pourcoach.library.records import Brew, Judgement, Taken
from pourcoach.session.judging.judge import rubric_version
from pourcoach.session.judging.many import Progress, judge_brews
from pourcoach.session.kept.keeping import take_up

_LISTED = 3
"""Files named in one sentence."""

Report = Callable[[str], None]
"""Is given a sentence for the user."""


def bring_up_to_date(
    library: Library, rubric: Rubric, report: Report, progress: Progress | None = None
) -> None:
    """See what was done to the tapes since the last time, and judge what is new or was judged by
    another version or rubric. Ctrl+C leaves the rest for the next time.

    Raises WorkError where the library refuses.
    """
    for sentence in sentences(take_up(library)):
        report(sentence)
    try:
        for sentence in unjudged_sentences(
            judge_brews(library, waiting(library, rubric), rubric, progress)
        ):
            report(sentence)
    except KeyboardInterrupt:
        left = len(waiting(library, rubric))
        report(f"stopped; {left} are not judged yet, or by another version or rubric")


def judge_beside(
    library: Library, rubric: Rubric, progress: Progress, stopped: Callable[[], bool]
) -> list[str]:
    """Judge the same beside whatever else runs, until ``stopped`` gives True; a sentence for each
    brew that cannot be. Raises WorkError where the library refuses.
    """
    brews = waiting(library, rubric)
    cores = max(1, (os.cpu_count() or 1) - 1)
    failed = judge_brews(library, brews, rubric, progress, cores, stopped=stopped, beside=True)
    return unjudged_sentences(failed)


def waiting(library: Library, rubric: Rubric) -> list[Brew]:
    """Brews to be judged, or judged again: those never judged first, and the newest of them."""
    brews = unjudged(library, judging_version(), rubric_version(rubric))
    return sorted(brews, key=lambda brew: brew.judged_by is not None)


def unjudged_sentences(failed: Sequence[tuple[Brew, str]]) -> list[str]:
    """Which brews could not be judged, and why."""
    sentences = [f"{brew.tape.name} could not be judged: {why}" for brew, why in failed[:_LISTED]]
    more = len(failed) - _LISTED
    return [*sentences, f"{more} more could not be judged"] if more > 0 else sentences


def sentences(taken: Taken) -> list[str]:
    """What a look through the tapes found, a sentence for each kind of it."""
    sentences = []
    if taken.new:
        sentences.append(f"new among the recordings: {_names(taken.new)}")
    if taken.moved:
        sentences.append(f"moved, and known by content: {_names([new for _, new in taken.moved])}")
    if taken.missing:
        sentences.append(
            f"gone, and what is known of the brew is kept: {_names(taken.missing)}; put the file"
            " back, or delete the brew"
        )
    if taken.back:
        sentences.append(f"there again: {_names(taken.back)}")
    for copy, first in taken.copies[:_LISTED]:
        names = (copy.name, first.name) if copy.name != first.name else (copy, first)
        sentences.append(f"{names[0]} holds the same brew as {names[1]}; it counts once")
    for path, why in taken.refused[:_LISTED]:
        sentences.append(f"{path.name} is left out: {why}")
    more = max(0, len(taken.copies) - _LISTED) + max(0, len(taken.refused) - _LISTED)
    if more:
        sentences.append(f"{more} more files are copies or no recordings")
    return sentences


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """What a rebuild did."""

    brews: int = 0
    """In the library now, but for those in the bin."""
    judged: int = 0
    missing: int = 0
    """Whose recordings are not there; what was known of them is kept."""
    failed: list[tuple[Brew, str]] = field(default_factory=list)
    """Could not be judged, and why."""
    set_aside: Path | None = None
    """Where the file is that was no library."""


def rebuild(
    path: Path,
    rubric: Rubric,
    report: Report,
    progress: Progress | None = None,
    cores: int | None = None,
) -> Rebuilt:
    """Read every tape again and judge it anew. A file that is no library is set aside first.

    Raises WorkError where the library refuses; what was done by then stays.
    """
    set_aside = None
    try:
        with Library(path) as library:
            return _rebuild(library, rubric, report, progress, cores, None)
    except BrokenLibraryError:
        set_aside = _set_aside(path)
    with Library(path) as library:
        return _rebuild(library, rubric, report, progress, cores, set_aside)


def _rebuild(
    library: Library,
    rubric: Rubric,
    report: Report,
    progress: Progress | None,
    cores: int | None,
    set_aside: Path | None,
) -> Rebuilt:
    for sentence in sentences(take_up(library)):
        report(sentence)
    brews = find_brews(library)
    there = [brew for brew in brews if not brew.is_missing]
    for brew in there:
        try:
            enter_tape(library, brew.tape)
        except WorkError as error:
            report(str(error))
    leads: dict[str, tuple[str, Seconds]] = {}

    def learn(brew: Brew, judgement: Judgement) -> None:
        if brew.by is None or judgement.reaction_s is None:
            return
        newest = leads.get(brew.by)
        if newest is None or newest[0] < brew.recorded_at:
            leads[brew.by] = (brew.recorded_at, judgement.reaction_s)

    failed = judge_brews(library, there, rubric, progress, cores, learn)
    for name, (_, reaction_s) in leads.items():
        person = person_called(library, name)
        if person is not None and person.reaction_s is None:
            learn_reaction(library, name, reaction_s)
    missing = len(brews) - len(there)
    return Rebuilt(len(brews), len(there) - len(failed), missing, failed, set_aside)


def _set_aside(path: Path) -> Path:
    number = 0
    while True:
        number += 1
        aside = path.with_name(f"{path.name}.broken{'' if number == 1 else f'-{number}'}")
        if not os.path.lexists(aside):
            break
    try:
        path.rename(aside)
        # Left by a program that was killed while it wrote; it belongs to the broken file.
        journal = path.with_name(f"{path.name}-journal")
        if journal.exists():
            journal.rename(aside.with_name(f"{aside.name}-journal"))
    except OSError as error:
        raise WorkError(f"{path} cannot be set aside: {reason(error)}") from None
    return aside


def _names(paths: list[Path]) -> str:
    listed = ", ".join(path.name for path in paths[:_LISTED])
    more = len(paths) - _LISTED
    return f"{listed} and {more} more" if more > 0 else listed
