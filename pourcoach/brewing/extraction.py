"""Strength and extraction: what is in the cup, and how much of the coffee went into it."""

# Lockhart 1957 found about 2 mL of water kept by each gram of grounds (from memory); two home
# brewers' published logs give 1.95-2.08.
RETAINED_G_PER_G = 2.0
