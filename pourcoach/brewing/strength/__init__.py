"""How much is dissolved in the cup, and how much of the coffee that is."""
