"""Alembic's scripts: one for each layout the store ever had."""
