"""Units in which kits, meters and suppliers report hardness, alkalinity and ions.

Everything is held as mg/L; hardness and alkalinity as mg/L of calcium carbonate.
"""

import re
from collections.abc import Mapping

from pourcoach.domain.errors import UsageError

# Molar masses, g/mol (IUPAC 2021 conventional atomic weights).
CACO3 = 100.0869
CAO = 56.0774
CALCIUM = 40.078
MAGNESIUM = 24.305
SODIUM = 22.98977
BICARBONATE = 61.0168
CHLORIDE = 35.453
CACO3_EQUIVALENT = CACO3 / 2.0

# Exact by definition (NIST SP 811): 64.79891 mg; 3.785411784 L; 4.54609 L.
_GRAIN_MG = 64.79891
_US_GALLON_L = 3.785411784
_IMPERIAL_GALLON_L = 4.54609

# mg/L as CaCO3 in one of each.
_ANY = {
    "mg/L": 1.0,
    "ppm": 1.0,
    "gpg": _GRAIN_MG / _US_GALLON_L,
    "°e": _GRAIN_MG / _IMPERIAL_GALLON_L,
    "°dH": 10.0 * CACO3 / CAO,
    "°fH": 10.0,
}
HARDNESS_UNITS: dict[str, float] = _ANY | {"mmol/L": CACO3}
CALCIUM_UNITS: dict[str, float] = HARDNESS_UNITS | {"mg/L Ca": CACO3 / CALCIUM}
MAGNESIUM_UNITS: dict[str, float] = HARDNESS_UNITS | {"mg/L Mg": CACO3 / MAGNESIUM}
# No mmol/L: some reports mean CaCO3 by it and others the acid used, which is half as much.
ALKALINITY_UNITS: dict[str, float] = _ANY | {
    "meq/L": CACO3_EQUIVALENT,
    "mg/L HCO3": CACO3_EQUIVALENT / BICARBONATE,
}
PLAIN_UNITS: dict[str, float] = {"mg/L": 1.0, "ppm": 1.0}

_OTHER_SPELLINGS = {
    "dh": "°dH",
    "fh": "°fH",
    "e": "°e",
    "clark": "°e",
    "gr": "gpg",
    "grains": "gpg",
    "meq": "meq/L",
    "mmol": "mmol/L",
    "mg": "mg/L",
}


def milligrams_per_litre(text: str, units: Mapping[str, float], noun: str) -> float:
    """Read ``8 dH``, ``4gpg``, ``68 mg/L`` or a bare number of mg/L.

    ``units`` is one of the tables here. Raises UsageError for an unknown unit, no number, or a
    number below 0.
    """
    found = re.fullmatch(r"\s*([-+0-9.eE]*[0-9.])\s*(.*?)\s*", text)
    try:
        number = float(found.group(1)) if found else float("nan")
    except ValueError:
        number = float("nan")
    if found is None or not 0.0 <= number < 1e6:
        raise UsageError(f"{noun} {text!r} is no amount", "write it as '8 dH' or '68 mg/L'")
    spelling = found.group(2)
    if not spelling:
        return number
    by_plain_spelling = {_plain(name): name for name in units} | _OTHER_SPELLINGS
    unit = by_plain_spelling.get(_plain(spelling))
    if unit is None or unit not in units:
        raise UsageError(
            f"unknown unit {spelling!r} for {noun}", "known ones are " + ", ".join(units)
        )
    return number * units[unit]


def _plain(unit: str) -> str:
    return unit.lower().replace("°", "").replace(" ", "")
