"""Scale addresses: ``serial:/dev/ttyUSB0?baud=115200``, ``ble:NAME``, ``sim:steady?seed=3``."""

from dataclasses import dataclass, field
from math import inf
from typing import Self
from urllib.parse import parse_qsl

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number

LIVE_KINDS = ("serial", "ble")
"""A scale with a person's hand over it."""
KINDS = (*LIVE_KINDS, "sim", "kettle", "tape")
# The others name a port, a scale, a hand or a file.
_NAMELESS = ("kettle",)
# A brew of three minutes in two seconds. Faster than that nothing can be followed, and a simulated
# world is not worked out as fast on every machine.
FASTEST = 100.0
LARGEST_SEED = 2**63


@dataclass(frozen=True, slots=True)
class ScaleAddress:
    """A parsed address. ``str`` gives the text it came from."""

    kind: str
    """One of KINDS."""
    target: str
    """Port, name, profile or file; may itself hold colons and slashes."""
    options: dict[str, str] = field(default_factory=dict)
    text: str = ""

    @classmethod
    def parse(cls, text: str) -> Self:
        """Raises UsageError saying what an address looks like."""
        kind, colon, rest = text.partition(":")
        if not colon or kind not in KINDS:
            raise UsageError(
                f"{text!r} is no scale address",
                "use serial:PORT, ble:NAME, sim:PROFILE, kettle: or tape:FILE",
            )
        target, mark, query = rest.rpartition("?")
        if not mark:
            target, query = rest, ""
        if kind in _NAMELESS and target:
            raise UsageError(
                f"{text!r} names a {kind}", f"write {kind}: alone, or {kind}:?name=value"
            )
        if not target and kind not in _NAMELESS:
            raise UsageError(f"{text!r} names no {kind} target", f"write {kind}:SOMETHING")
        try:
            pairs = parse_qsl(query, keep_blank_values=True, strict_parsing=bool(query))
        except ValueError:
            raise UsageError(
                f"the options of {text!r} cannot be read", "write them as ?name=value&name=value"
            ) from None
        return cls(kind, target, dict(pairs), text)

    def __str__(self) -> str:
        return self.text

    def number(self, name: str, usual: float, most: float = inf) -> float:
        """A numeric option above 0, up to ``most``; raises UsageError where it is none."""
        raw = self.options.get(name)
        if raw is None:
            return usual
        try:
            value = read_number(raw)
        except UsageError:
            value = 0.0
        if not 0 < value < inf:
            raise UsageError(f"{name}={raw} in {self.text!r} is no number above 0")
        if value > most:
            raise UsageError(f"{name}={raw} in {self.text!r} is too much", f"use up to {most:g}")
        return value

    def whole(self, name: str, usual: int, most: int) -> int:
        """An option that is a whole number from 0 to ``most``; raises UsageError if it is none."""
        raw = self.options.get(name)
        if raw is None:
            return usual
        if not (raw.isascii() and raw.isdecimal() and len(raw) < 20 and int(raw) <= most):
            raise UsageError(
                f"{name}={raw} in {self.text!r} is no whole number", f"use one from 0 to {most}"
            )
        return int(raw)

    @property
    def live(self) -> bool:
        """Whether it is a scale, and no simulation or recording of one."""
        return self.kind in LIVE_KINDS

    @property
    def speed(self) -> float:
        """How many times as fast as the clock on the wall a simulation or a recording is to run;
        raises UsageError for what cannot be followed."""
        return self.number("speed", 1.0, FASTEST)

    @property
    def seed(self) -> int:
        """Which of all simulated brews; raises UsageError for what is no whole number."""
        return self.whole("seed", 1, LARGEST_SEED)

    def only(self, *known: str) -> None:
        """Raises UsageError naming an option that is not among ``known``."""
        for name in self.options:
            if name not in known:
                raise UsageError(
                    f"unknown option {name!r} in {self.text!r}",
                    "known ones are " + ", ".join(known) if known else "it takes none",
                )
