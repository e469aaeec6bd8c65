"""The order of pours and what is shown of each: schedule, one pour, its result."""
