"""The parts that the words of a flag are made of."""

from dataclasses import dataclass

from pourcoach.domain.advice import Flag
from pourcoach.domain.plan import EXTRA_POUR


@dataclass(frozen=True, slots=True)
class FlagWords:
    """One flag, in its four parts; each a whole sentence, empty where there is nothing to say."""

    measured: str
    suggests: str
    try_this: str
    unknown: str

    def __str__(self) -> str:
        return " ".join(
            part for part in (self.measured, self.suggests, self.try_this, self.unknown) if part
        )


def where(flag: Flag) -> str:
    return f" in {the_stage(flag.stage)}" if flag.stage else ""


def the_stage(stage: str | None) -> str:
    if stage is None:
        return "the brew"
    return f"the {stage}" if stage in ("bloom", EXTRA_POUR) else stage
