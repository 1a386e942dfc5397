"""Ways to hold the house, side by side."""
