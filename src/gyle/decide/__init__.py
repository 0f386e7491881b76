"""The decide room."""
