"""One script for each layout, in order."""
