"""When water or coffee burns skin.

Published times differ by two to three times: take them as orders of size.
"""

from pourcoach.domain.units import Celsius

# From here on the published tables give a burn within minutes.
CAUTION_FROM_C = 49.0
# Above it sources differ by more than they agree, and a second is no time to act in any case.
NO_SECONDS_ABOVE_C = 65.0

# Contact time to a deep burn of adult skin, in steps that never rise. Anti-scald tables for
# tap water give 10 min at 49 °C, 4.2 min at 51 °C, 30 s at 55 °C, 5 s at 60 °C; an unsourced
# chart adds about 10 s at 57 °C and under 3 s at 63 °C.
_BURNS_WITHIN = (
    (63.0, 3.0),
    (60.0, 5.0),
    (57.0, 10.0),
    (55.0, 30.0),
    (51.0, 252.0),
    (49.0, 600.0),
)


def burns_within_s(temperature_c: Celsius) -> float | None:
    """About how long until a deep burn; None below 49 °C, and above 65 °C where it is at once."""
    if temperature_c > NO_SECONDS_ABOVE_C:
        return None
    for from_c, seconds in _BURNS_WITHIN:
        if temperature_c >= from_c:
            return seconds
    return None


def scald_caution(temperature_c: Celsius) -> str | None:
    """The caution to give with water of that temperature; None below 49 °C."""
    if temperature_c < CAUTION_FROM_C:
        return None
    seconds = burns_within_s(temperature_c)
    if seconds is None:
        how_soon = "burns in about a second or less; children faster"
    elif seconds > 60.0:
        how_soon = f"burns within about {seconds / 60.0:.0f} min; children faster"
    else:
        how_soon = f"burns within about {seconds:.0f} s; children faster"
    return f"water at {temperature_c:.0f} °C {how_soon}: keep the spout away from hands and edge"
