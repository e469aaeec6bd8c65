"""The brew screen: what to do now, how far off, what comes next."""
