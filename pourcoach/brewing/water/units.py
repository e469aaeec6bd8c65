"""Units in which kits, meters and suppliers report hardness, alkalinity and ions.

Everything is held as mg/L; hardness and alkalinity as mg/L of calcium carbonate.
"""

import re
from collections.abc import Mapping

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import NUMBER, read_number

# Molar masses, g/mol (IUPAC 2021 conventional atomic weights).
CACO3 = 100.0869
CAO = 56.0774
CALCIUM = 40.078
MAGNESIUM = 24.305
SODIUM = 22.98977
BICARBONATE = 61.0168
CHLORIDE = 35.453
SULPHATE = 96.06
CACO3_EQUIVALENT = CACO3 / 2.0

# Exact by definition (NIST SP 811): 64.79891 mg; 3.785411784 L; 4.54609 L.
_GRAIN_MG = 64.79891
_US_GALLON_L = 3.785411784
_IMPERIAL_GALLON_L = 4.54609

# mg/L as CaCO3 in one of each. A milliequivalent (mval) is half a millimole of calcium, of
# magnesium or of calcium carbonate, and a whole one of bicarbonate.
_ANY = {
    "mg/L": 1.0,
    "ppm": 1.0,
    "mg/L CaCO3": 1.0,
    "gpg": _GRAIN_MG / _US_GALLON_L,
    "°e": _GRAIN_MG / _IMPERIAL_GALLON_L,
    "°dH": 10.0 * CACO3 / CAO,
    "°fH": 10.0,
    "meq/L": CACO3_EQUIVALENT,
}
HARDNESS_UNITS: dict[str, float] = _ANY | {"mmol/L": CACO3}
CALCIUM_UNITS: dict[str, float] = HARDNESS_UNITS | {"mg/L Ca": CACO3 / CALCIUM}
MAGNESIUM_UNITS: dict[str, float] = HARDNESS_UNITS | {"mg/L Mg": CACO3 / MAGNESIUM}
# No mmol/L: some reports mean CaCO3 by it and others the acid used, which is half as much.
ALKALINITY_UNITS: dict[str, float] = _ANY | {"mg/L HCO3": CACO3_EQUIVALENT / BICARBONATE}
SODIUM_UNITS: dict[str, float] = {"mg/L": 1.0, "ppm": 1.0, "mmol/L": SODIUM, "meq/L": SODIUM}
SULPHATE_UNITS: dict[str, float] = {
    "mg/L": 1.0,
    "ppm": 1.0,
    "mmol/L": SULPHATE,
    "meq/L": SULPHATE / 2.0,
}
PLAIN_UNITS: dict[str, float] = {"mg/L": 1.0, "ppm": 1.0}

# How kits, bottles and reports spell them, as ``_plain`` leaves it.
_OTHER_SPELLINGS = {
    "dh": "°dH",
    "fh": "°fH",
    "f": "°fH",
    "e": "°e",
    "eh": "°e",
    "clark": "°e",
    "gr": "gpg",
    "gr/gal": "gpg",
    "grain": "gpg",
    "grains": "gpg",
    "grains/gal": "gpg",
    "meq": "meq/L",
    "mval": "meq/L",
    "mval/l": "meq/L",
    "mmol": "mmol/L",
    "mmol/l": "mmol/L",
    "mg": "mg/L",
    "caco3": "mg/L CaCO3",
    "mgcaco3/l": "mg/L CaCO3",
    "ca": "mg/L Ca",
    "mgca/l": "mg/L Ca",
    "mg/lmg": "mg/L Mg",
    "mgmg/l": "mg/L Mg",
    "hco3": "mg/L HCO3",
    "mghco3/l": "mg/L HCO3",
    "na": "mg/L",
    "so4": "mg/L",
    "mg/lso4": "mg/L",
    "mg/lna": "mg/L",
    "cl2": "mg/L",
    "mg/lcl2": "mg/L",
}
# Degrees that say themselves what they measure.
_OF_HARDNESS = {"dgh": "°dH", "gh": "°dH"}
_OF_ALKALINITY = {"dkh": "°dH", "kh": "°dH"}


def milligrams_per_litre(text: str, units: Mapping[str, float], noun: str) -> float:
    """Read ``8 dH``, ``4gpg``, ``120 mg/L CaCO3``, ``33,6 fH`` or a bare number of mg/L.

    ``units`` is one of the tables here. Raises UsageError for an unknown unit, no number, or a
    number below 0.
    """
    found = re.fullmatch(rf"\s*({NUMBER})\s*(.*?)\s*", text)
    if found is None:
        raise UsageError(f"{noun} {text!r} is no amount", "write it as '8 dH' or '68 mg/L'")
    try:
        number = read_number(found.group(1))
    except UsageError as error:
        raise UsageError(f"{noun}: {error.what}", error.remedy) from None
    if not 0.0 <= number < 1e6:
        raise UsageError(f"{noun} {text!r} is no amount", "give 0 or more")
    spelling = found.group(2)
    return number * (units[_unit(spelling, units, noun)] if spelling else 1.0)


def _unit(spelling: str, units: Mapping[str, float], noun: str) -> str:
    plain = _plain(spelling)
    if plain in _OF_HARDNESS and "mmol/L" not in units:
        raise UsageError(f"{spelling} measures total hardness, not {noun}", "use dKH, or mg/L")
    if plain in _OF_ALKALINITY and "mg/L HCO3" not in units:
        raise UsageError(
            f"{spelling} measures alkalinity (carbonate hardness), not {noun}",
            "give it as the alkalinity",
        )
    spellings = _OTHER_SPELLINGS | _OF_HARDNESS | _OF_ALKALINITY
    unit = {_plain(name): name for name in units}.get(plain) or spellings.get(plain)
    if unit == "mmol/L" and units is ALKALINITY_UNITS:
        raise UsageError(
            "mmol/L of alkalinity can mean the carbonate or the acid that it takes up",
            "write meq/L (mval/L) for the acid, as in KS 4.3, or twice the mmol/L of CaCO3",
        )
    if unit is None or unit not in units:
        raise UsageError(
            f"unknown unit {spelling!r} for {noun}", "known ones are " + ", ".join(units)
        )
    return unit


def _plain(unit: str) -> str:
    """Small letters without degree signs, blanks, "as" and "per", signs of charge, subscripts:
    ``mg/l as CaCO₃`` and ``MG/L CACO3`` are one.
    """
    plain = unit.lower().translate(str.maketrans("₀₁₂₃₄", "01234", "°º⁺⁻²·"))
    plain = re.sub(r"\bas\b", "", plain).replace("ppm", "mg/l", 1)
    plain = re.sub(r"\s+|\^|\(|\)", "", plain.replace(" per ", "/"))
    # The charge of an ion: Ca2+, Mg++, HCO3-.
    return re.sub(r"(?<=ca)2?\++$|(?<=mg)2?\++$|(?<=hco3)-$|(?<=so4)2?-+$|(?<=na)\+$", "", plain)
