"""A seeded hand, kettle, bed and scale: gives readings and the truth behind them."""
