"""The quantities room."""
