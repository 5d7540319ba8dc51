"""Drawing: lists of frozen values in mm, their PDF and SVG writers, words placed, solids seen."""
