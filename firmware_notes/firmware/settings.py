"""What differs from one scale to the next. Edit this file on the board, and no other."""

NAME = "pour-scale"  # shown over Bluetooth; 18 letters at most

# Not the pins of the board's USB serial port: see parts-and-wiring.md.
CLOCK_PIN = 4
DATA_PINS = (5,)  # one a load cell, three or four for corner cells

# What the converter is strapped to, and over how many readings its filter settles after a step
# (see the data sheet of yours; four is usual for a 24-bit bridge converter).
ADC_RATE_HZ = 80
SETTLE_READINGS = 4

# From 'pourcoach calibrate', one a cell; a scale that is read in counts needs none.
COUNTS_PER_G = (2000.0,)
EMPTY_COUNTS = (0,)

BLUETOOTH = False  # True on a board that has it
