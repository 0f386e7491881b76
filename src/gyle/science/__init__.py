"""The science room."""
