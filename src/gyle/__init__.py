"""gyle: plan a brew from water to glass, with an honest band on every figure."""

__all__ = ["__version__"]

__version__ = "0.1.0"
