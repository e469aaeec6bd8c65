"""Units of mass that scales print."""

GRAMS_IN: dict[str, float] = {
    "g": 1.0,
    "kg": 1000.0,
    "mg": 0.001,
    # Exact by the international avoirdupois pound of 1959, 0.45359237 kg (NIST SP 811, app. B).
    "lb": 453.59237,
    "oz": 453.59237 / 16,
}
