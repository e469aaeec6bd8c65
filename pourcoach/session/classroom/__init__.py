"""Many brews side by side on one machine, each with its own scale, fold and tape."""
