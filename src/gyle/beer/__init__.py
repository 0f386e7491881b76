"""The beer room."""
