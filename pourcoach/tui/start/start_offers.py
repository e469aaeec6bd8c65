"""What can be picked on the start screen: scales, plans, recordings."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from pathlib import Path

from pourcoach.brewing.plan.brewer import BREWERS
from pourcoach.brewing.plan.plan_file import plan_from_toml
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.plan import Plan
from pourcoach.places import data_folder, tapes_folder
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.shipped import shipped_recordings, stem_of
from pourcoach.recordings.tape import header_of
from pourcoach.scales.cable.listing import serial_ports
from pourcoach.session.settings import Settings
from pourcoach.text_file import read_text

# The hands worth practising against; 'pourcoach simulate --help' names them all.
SIMULATED = (
    ("sim:steady", "simulated, a steady hand"),
    ("kettle:", "simulated, and you tilt the kettle"),
    ("sim:learning?listens=yes", "simulated, a learner who listens"),
    ("sim:unsteady", "simulated, an unsteady hand"),
    ("sim:stalling", "simulated, a hand that stalls"),
)
# A folder of hundreds would make a list that nobody reads.
MOST_RECORDINGS = 50
MOST_PLAN_FILES = 20


@dataclass(frozen=True, slots=True)
class ScaleOffer:
    """A scale by its address."""

    address: str
    what: str
    """A few words; empty where nothing is known of it."""


@dataclass(frozen=True, slots=True)
class PlanOffer:
    """A plan by a name."""

    name: str
    plan: Plan

    @property
    def what(self) -> str:
        """The plan in one line."""
        plan = self.plan
        pours = len(plan.stages) - 1
        return (
            f"{plan.dose_g:g} g of coffee, {plan.water_g:g} g of water (1:{plan.ratio:.3g}):"
            f" {plan.stages[0].name} to {plan.stages[0].to_g:g} g,"
            f" then {pours} pour{'' if pours == 1 else 's'}, drained by {clock(plan.finish_s)}"
        )


@dataclass(frozen=True, slots=True)
class RecordingOffer:
    """A recording, as far as its first line shows."""

    path: Path
    title: str
    see: str = ""
    """What to look at in it; empty for the user's own."""
    by: str | None = None
    recorded_at: str = ""

    @property
    def who_and_when(self) -> str:
        """In a few words; empty where neither is known, as of what a simulation made."""
        who = "" if self.by is None else f"by {self.by}"
        return " ".join(part for part in (who, moment_of(self.recorded_at)) if part)


@dataclass(frozen=True, slots=True)
class StartOffers:
    """Everything on offer; each list the likeliest first."""

    scales: tuple[ScaleOffer, ...]
    plans: tuple[PlanOffer, ...]
    """At least one."""
    recordings: tuple[RecordingOffer, ...]
    """The user's own, newest first; then those that come with the program."""
    notice: str | None = None
    """A sentence on what could not be offered."""


def find_offers(settings: Settings) -> StartOffers:
    """Look at this machine: ports, plan files in the data folder, recordings.

    A saved plan that cannot be brewed is reported and left out.
    """
    notice = None
    try:
        usual = work_out(PlanRequest.from_dict(settings.plan)).plan
    except PourcoachError as error:
        notice = f"The plan in the settings is left out: {error}"
        usual = work_out(PlanRequest()).plan
    plans = [PlanOffer("usual", usual), *_plans_by_brewer(usual), *_plan_files()]
    return StartOffers(tuple(_scales(settings)), tuple(plans), tuple(_recordings()), notice)


def plan_offer_from(path: Path) -> PlanOffer:
    """The plan in a file. Raises UsageError for what is no plan, WorkError where it cannot be
    read.
    """
    return PlanOffer(path.stem, plan_from_toml(read_text(path, "the plan file")).plan)


def _scales(settings: Settings) -> Iterator[ScaleOffer]:
    """The settings' own, then what is plugged in, then simulated ones; ports that are no USB ports
    last, since most of them are wired to nothing.
    """
    ports = serial_ports()
    offers = [
        *(ScaleOffer(port.address, port.what) for port in ports if port.vid is not None),
        *(ScaleOffer(*simulated) for simulated in SIMULATED),
        *(ScaleOffer(port.address, port.what) for port in ports if port.vid is None),
    ]
    if settings.scale is not None:
        what = {offer.address: offer.what for offer in offers}.get(settings.scale, "")
        yield ScaleOffer(settings.scale, what or "from the settings")
    for offer in offers:
        if offer.address != settings.scale:
            yield offer


def _plans_by_brewer(usual: Plan) -> Iterator[PlanOffer]:
    for kind in BREWERS.values():
        offer = PlanOffer(kind.name, work_out(PlanRequest(brewer=kind.name)).plan)
        if offer.plan != usual:
            yield offer


def _plan_files() -> Iterator[PlanOffer]:
    # Not those of the current folder: nobody asked for them to be read.
    files = (path for path in sorted((data_folder() / "plans").glob("*.toml")) if path.is_file())
    for path in islice(files, MOST_PLAN_FILES):
        with suppress(PourcoachError):
            yield plan_offer_from(path)


def _recordings() -> Iterator[RecordingOffer]:
    shipped = shipped_recordings()
    seen = {path.resolve() for path in shipped}
    own = [path for folder in (tapes_folder(), Path(), Path("recordings")) for path in _in(folder)]
    for path in own[:MOST_RECORDINGS]:
        if path.resolve() not in seen:
            seen.add(path.resolve())
            yield recording_offer(path)
    for path, card in shipped.items():
        yield RecordingOffer(path, card.title, card.see)


def _in(folder: Path) -> list[Path]:
    try:
        return tapes_in(folder)
    except PourcoachError:
        # A folder that cannot be read has nothing to offer; brewing does not need it.
        return []


def recording_offer(path: Path) -> RecordingOffer:
    """Of any tape; one that cannot be read has its name alone."""
    try:
        header = header_of(path)
    except PourcoachError:
        return RecordingOffer(path, stem_of(path))
    title = " ".join(part for part in (moment_of(header.recorded_at), header.by or "") if part)
    return RecordingOffer(path, title or stem_of(path), "", header.by, header.recorded_at)


def moment_of(recorded_at: str) -> str:
    """A tape's own date and time, to the minute; empty where it has none."""
    try:
        return datetime.fromisoformat(recorded_at).strftime("%Y-%m-%d %H:%M")
    except ValueError:
        return ""
