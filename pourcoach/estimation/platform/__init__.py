"""What the readings are at each moment: rest, water, a touch, a lift, a tare."""
