"""The local page: a second pair of hands on the same files, an extra that the commands do without."""
