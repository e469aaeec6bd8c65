"""The simulated scale: platform, load cells, noise, converter and link."""
