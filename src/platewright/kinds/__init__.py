"""From measurements to a bracket: one module per kind."""
