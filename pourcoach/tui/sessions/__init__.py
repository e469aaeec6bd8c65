"""The sessions screen: what is kept, searched, looked at, compared and deleted."""
