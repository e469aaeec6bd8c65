"""What the scale adds to the weight: noise, rounding, rate."""
