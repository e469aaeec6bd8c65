"""What is kept of scales: names, calibrations, descriptions and how each speaks."""
