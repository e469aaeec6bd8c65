"""The trade's arithmetic as figures and as lines of text: plans, strength, water, temperature."""
