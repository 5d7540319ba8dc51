"""Parts on sheets: laid as close as can be found, proved, and put in cutting order."""
