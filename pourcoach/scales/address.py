"""Scale addresses: ``serial:/dev/ttyUSB0?baud=115200``, ``ble:NAME``, ``sim:steady?seed=3``."""

from dataclasses import dataclass, field
from typing import Self
from urllib.parse import parse_qsl

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number

KINDS = ("serial", "ble", "sim", "tape")


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
                "use serial:PORT, ble:NAME, sim:PROFILE or tape:FILE",
            )
        target, mark, query = rest.rpartition("?")
        if not mark:
            target, query = rest, ""
        if not target:
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

    def number(self, name: str, usual: float) -> float:
        """A numeric option above 0; raises UsageError where it is none."""
        raw = self.options.get(name)
        if raw is None:
            return usual
        try:
            value = read_number(raw)
        except UsageError:
            value = 0.0
        if not 0 < value < float("inf"):
            raise UsageError(f"{name}={raw} in {self.text!r} is no number above 0")
        return value

    def only(self, *known: str) -> None:
        """Raises UsageError naming an option that is not among ``known``."""
        for name in self.options:
            if name not in known:
                raise UsageError(
                    f"unknown option {name!r} in {self.text!r}",
                    "known ones are " + ", ".join(known) if known else "it takes none",
                )
