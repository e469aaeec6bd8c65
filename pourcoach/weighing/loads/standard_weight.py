"""Are the weights good enough to judge by? OIML R 111 tolerances against the error to be tested."""

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams

# OIML R 111-1:2004, table 1, maximum permissible errors in mg. Rows below 50 g from memory.
_TOLERANCE_MG: dict[str, dict[float, float]] = {
    "M1": {
        1: 1.0, 2: 1.2, 5: 1.6, 10: 2.0, 20: 2.5, 50: 3.0,
        100: 5.0, 200: 10.0, 500: 25.0, 1000: 50.0, 2000: 100.0,
    },
    "M2": {
        1: 3.0, 2: 4.0, 5: 5.0, 10: 6.0, 20: 8.0, 50: 10.0,
        100: 16.0, 200: 30.0, 500: 80.0, 1000: 160.0, 2000: 300.0,
    },
    "M3": {
        1: 10.0, 2: 12.0, 5: 16.0, 10: 20.0, 20: 25.0, 50: 30.0,
        100: 50.0, 200: 100.0, 500: 250.0, 1000: 500.0, 2000: 1000.0,
    },
}  # fmt: skip
WEIGHT_CLASSES = tuple(_TOLERANCE_MG)

# R 76-1, 3.7.1: standard weights err by no more than a third of what is allowed at that load.
SHARE_OF_LIMIT = 1.0 / 3.0


def weight_tolerance_g(weight_class: str, nominal_g: Grams) -> Grams:
    """By how much a weight of that class may err. Raises UsageError for what is not tabled."""
    table = _TOLERANCE_MG.get(weight_class.upper())
    if table is None:
        raise UsageError(
            f"{weight_class!r} is no class of weights here", "use " + ", ".join(WEIGHT_CLASSES)
        )
    if nominal_g not in table:
        raise UsageError(
            f"weights of {nominal_g:g} g are not tabled",
            "use " + ", ".join(f"{nominal:g}" for nominal in table),
        )
    return table[nominal_g] / 1000.0


def suits(error_g: Grams, limit_g: Grams) -> bool:
    """Whether a load known to ``error_g`` can test a limit: it errs by a third of it at most."""
    return error_g <= limit_g * SHARE_OF_LIMIT
