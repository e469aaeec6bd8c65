"""A guided calibration: the empty scale, known weights, a fit."""

from collections.abc import Callable, Sequence

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.session.weighing.asker import Asker
from pourcoach.session.weighing.bench import WeighingBench
from pourcoach.weighing.loads.known_load import KnownLoad

SILENT = (
    "the scale sends no raw counts: only a scale that takes 'counts on' can be calibrated here; "
    "calibrate any other by its own instructions"
)


async def weigh_known_loads(
    bench: WeighingBench, asker: Asker, weights_g: Sequence[Grams], read: Callable[[str], KnownLoad]
) -> list[KnownLoad]:
    """Counts of the empty scale and of each weight.

    Without ``weights_g`` each is asked for, until Enter alone. ``read`` makes a load, still
    unweighed, of what was typed; it raises UsageError for what is none, and is asked again.
    """
    await bench.begin()
    await asker.ask("Take everything off the scale, then press Enter.")
    asker.say("Weighing the empty scale…")
    loads = [(await bench.rest()).weighed(0.0)]
    if weights_g:
        for weight_g in weights_g:
            await asker.ask(f"Put {weight_g:g} g in the middle, alone, then press Enter.")
            loads.append((await bench.rest()).weighed(weight_g))
        return loads
    while True:
        answer = await asker.ask(
            "Put a known weight in the middle and type its grams"
            + (", or Enter alone to end:" if len(loads) > 1 else ":")
        )
        if not answer.strip():
            if len(loads) > 1:
                return loads
            continue
        load = read_again(asker, answer, read)
        if load is not None:
            loads.append((await bench.rest()).weighed(load.true_g))


def read_again(asker: Asker, answer: str, read: Callable[[str], KnownLoad]) -> KnownLoad | None:
    """The load that was typed; None where it is none, after saying why."""
    try:
        return read(answer)
    except UsageError as error:
        asker.say(str(error))
        return None


async def keeps(asker: Asker, doubts: Sequence[str]) -> bool:
    """Whether a calibration is to be kept: asked where it is doubtful, and no unless it is yes."""
    if not doubts:
        return True
    for doubt in doubts:
        asker.say(f"This calibration is doubtful: {doubt}.")
    answer = await asker.ask("Keep it all the same? Type yes, or Enter for no:")
    return answer.strip().lower() in ("y", "yes")


async def let_sit(bench: WeighingBench, asker: Asker, seconds: Seconds) -> list[Reading]:
    """Readings of whatever stands on the scale over that time, for its drift."""
    asker.say(f"Leave it alone for {seconds / 60:g} min…")
    return await bench.listen(seconds)
