"""What is told of parts, as JSON values and as lines: for the commands and the page alike."""
