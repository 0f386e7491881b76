"""The line room."""
