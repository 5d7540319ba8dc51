"""Before the bracket: air-spring stroke, laid-out height, linkage travel."""
