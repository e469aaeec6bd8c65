"""How long a test waits for what must come."""

PATIENCE_S = 30.0
"""For a busy machine: what is waited for comes in milliseconds on a quiet one, and a test that it
does not come to has failed."""
