"""Puts a live brew together: address, clock, scale, tape."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pourcoach.domain.afterwards import Fact, FactKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.printable import printable
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds
from pourcoach.library.library import ask_library
from pourcoach.library.people import person_called
from pourcoach.places import tapes_folder
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.writer import TapeWriter, new_tape_path, refuse_existing_tape
from pourcoach.scales.known.names import scale_address
from pourcoach.scales.open import calibration_in_force, open_scale
from pourcoach.scales.worked_out.simulated import SimulatedScale
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from pourcoach.session.kept.keeping import Keeping, remember, take_up_lost_brews
from pourcoach.session.settings import LONGEST_REACTION_S, Settings


@dataclass(frozen=True, slots=True)
class LiveBrew:
    """A brew ready to run, and where its tape will be."""

    session: BrewSession
    tape: TapeWriter


def live_brew(
    address: str,
    plan: Plan | None,
    settings: Settings,
    *,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
    by: str | None = None,
    water: str | None = None,
    tape: Path | None = None,
    began: datetime,
    on_kept: Callable[[Path], None] | None = None,
) -> LiveBrew:
    """A brew on the scale at ``address`` (or of that name), kept in ``tape`` or under a new name.

    ``water`` names the saved water that is poured. Raises UsageError for an address that means
    nothing, WorkError where ``tape`` is there already. The scale is opened only when the session
    runs. ``on_kept`` is given the recording once it is whole, in a thread; a WorkError it raises is
    reported as the library's is.
    """
    parsed = scale_address(address)
    by = by or settings.by
    by = None if by is None else printable(by)
    take_up_lost_brews()
    reaction_s = settings.reaction_s if by is None else learnt_reaction_s(by, settings)
    setup = Setup(
        arrangement,
        reaction_s,
        scale_delay_s=settings.scale_delay_s,
        fall_height_cm=settings.fall_height_cm,
    )
    clock = Clock(parsed.speed)
    scale = open_scale(parsed, clock.now, plan)
    if tape is not None:
        refuse_existing_tape(tape)
    kept = calibration_in_force(parsed)
    header = TapeHeader(
        plan=plan,
        setup=setup,
        recorded_at=began.isoformat(timespec="seconds"),
        scale={"address": address} | ({} if kept is None else {"calibration": kept.as_dict()}),
        by=by,
    )
    words = () if water is None else (Fact(FactKind.WATER, water, header.recorded_at),)
    path = tape or new_tape_path(tapes_folder(), began)
    writer = TapeWriter(path, header, any_name=tape is None, words=words)
    remember(path)
    keeping = Keeping(writer, header, learns=parsed.live)

    def keep(last: Frame) -> None:
        try:
            keeping.keep(last)
        finally:
            if on_kept is not None and writer.kept is not None:
                on_kept(writer.kept)

    listener = heard_by(scale) if isinstance(scale, SimulatedScale) else None
    session = BrewSession(
        scale,
        clock,
        plan,
        setup,
        writer,
        listener,
        keep,
    )
    return LiveBrew(session, writer)


def learnt_reaction_s(name: str, settings: Settings) -> Seconds:
    """The person's lead as learnt; the settings' where none is, or the library cannot be read."""
    # A library that cannot be read is reported when the brew is kept.
    person = ask_library(lambda library: person_called(library, name), None)
    if person is None or person.reaction_s is None:
        return settings.reaction_s
    # A library that another program wrote may hold anything.
    learnt_s = person.reaction_s
    return learnt_s if 0.0 <= learnt_s <= LONGEST_REACTION_S else settings.reaction_s


def heard_by(scale: SimulatedScale) -> Callable[[Frame], None]:
    """Lets the simulated hand behind ``scale`` hear the cues of every Frame."""

    def listener(frame: Frame) -> None:
        scale.hear(frame.cue, frame.t_s)

    return listener
