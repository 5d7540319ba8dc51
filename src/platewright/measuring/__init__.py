"""What is measured on a bracket: every dimension once, on the blank and on the finished part."""
