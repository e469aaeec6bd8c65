"""The start screen: scales, plans and recordings to pick from."""
