"""What a user types for a known load: ``200``, ``200 g M1``, ``250 ml 21 c``."""

import re
from collections.abc import Callable

from pourcoach.brewing.temperature.water_properties import weighed_g
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.units import Grams
from pourcoach.weighing.loads.known_load import KnownLoad
from pourcoach.weighing.loads.standard_weight import WEIGHT_CLASSES, weight_tolerance_g

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_WEIGHT = re.compile(rf"{_NUMBER}\s*g?(?:\s+(M[123]))?", re.IGNORECASE)
_WATER = re.compile(rf"{_NUMBER}\s*ml(?:\s+(?:at\s+)?{_NUMBER}\s*°?\s*c)?", re.IGNORECASE)
# Tap water in a room, where no temperature is reported; 5 K off makes 0.1 %.
ROOM_C = 20.0
HEAVIEST_G: Grams = 20_000.0


def known_weight_reader(weight_class: str | None = None) -> Callable[[str], KnownLoad]:
    """A reader for ``read_known_weight`` with a class for weights that are typed without one."""
    return lambda text: read_known_weight(text, weight_class)


def read_known_weight(text: str, weight_class: str | None = None) -> KnownLoad:
    """A load, not yet weighed. Raises UsageError saying how to write one.

    How well a volume is known depends on the vessel, which is not known here.
    """
    water = _WATER.fullmatch(text.strip())
    if water is not None:
        temperature_c = read_number(water[2]) if water[2] else ROOM_C
        return _load(weighed_g(read_number(water[1]), temperature_c), None)
    weight = _WEIGHT.fullmatch(text.strip())
    if weight is None:
        raise UsageError(
            f"{text.strip()!r} is no known load", "write 200, 200 g M1, or 250 ml 21 c for water"
        )
    grams = read_number(weight[1])
    named = weight[2] or weight_class
    try:
        known_to_g = weight_tolerance_g(named, grams) if named else None
    except UsageError:
        # A set may hold a weight that no standard tables; its error is then not known.
        if named is None or named.upper() not in WEIGHT_CLASSES:
            raise
        known_to_g = None
    return _load(grams, known_to_g)


def _load(grams: Grams, known_to_g: Grams | None) -> KnownLoad:
    if not 0 < grams <= HEAVIEST_G:
        raise UsageError(f"{grams:g} g is no load for this", f"use up to {HEAVIEST_G:g} g")
    return KnownLoad(grams, 0.0, known_to_g=known_to_g)
