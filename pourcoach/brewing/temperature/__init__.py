"""How hot water can be here, what arrives at the bed, and what burns."""
