"""Benchmarks: ratios against a stated reference, never a bare time. Run with `make bench`."""
