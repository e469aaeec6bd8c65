"""What ice in the server does to hot coffee that drips on it."""

from dataclasses import dataclass

from pourcoach.domain.units import Celsius, Grams

# Heat to melt a kilogram of ice at 0 °C, and to warm a kilogram of water by 1 K (handbook values,
# from memory).
_MELTING_KJ_PER_KG = 333.6
_WATER_KJ_PER_KG_K = 4.19
# What drips out of a hand brewer (common practice; bed and server have cooled it).
DRIPS_AT_C: Celsius = 80.0
SERVER_CAUTION = (
    "hot coffee on ice strains the server: use one made for heat and cold, never cracked or plain "
    "glass, and let nobody hold it while it fills"
)


@dataclass(frozen=True, slots=True)
class Chilled:
    """The server once coffee and ice have come to rest, without heat from outside."""

    temperature_c: Celsius
    left_g: Grams
    """Ice that stays; 0 where all melts."""


def chill(coffee_g: Grams, ice_g: Grams, coffee_c: Celsius = DRIPS_AT_C) -> Chilled:
    """A heat balance: the coffee gives what the ice takes; ice at 0 °C."""
    gives_kj = coffee_g * _WATER_KJ_PER_KG_K * coffee_c / 1000.0
    melts_kj = ice_g * _MELTING_KJ_PER_KG / 1000.0
    if gives_kj <= melts_kj:
        return Chilled(0.0, ice_g - 1000.0 * gives_kj / _MELTING_KJ_PER_KG)
    left_kj = gives_kj - melts_kj
    return Chilled(1000.0 * left_kj / (_WATER_KJ_PER_KG_K * (coffee_g + ice_g)), 0.0)
