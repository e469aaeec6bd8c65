"""Forms with figures that are worked out as they are typed: strength, brew water."""
