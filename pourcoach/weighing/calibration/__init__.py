"""From a converter's counts to grams, and how far such a calibration is to be trusted."""
