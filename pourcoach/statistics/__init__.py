"""Statistics for few and rough figures: robust, exact where they can be, with intervals. Pure."""
