"""What changed between two brackets, and what becomes of a part that is cut already."""
