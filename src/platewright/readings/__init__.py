"""What the readings of a made part mean: how far off it is, why, and what becomes of it."""
