"""Working out how an unknown scale sends, from its bytes while a known weight comes and goes."""
