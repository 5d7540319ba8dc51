"""Exact plane geometry, lines and arcs, and rigid placement in space."""
