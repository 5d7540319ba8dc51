"""The local page: a second pair of hands on the same files, and an extra to the commands."""
