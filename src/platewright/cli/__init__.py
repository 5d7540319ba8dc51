"""The commands, thin: read, call, write, report."""
