"""The work on the metal: cutting, scoring, folding by hand, welding, weight."""
