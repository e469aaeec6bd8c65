"""Weight and flow with their errors, now and 0.2 s later."""
