"""Bucketside: a terminal assistant for people who work with cut flowers and need the work to last."""

__version__ = "0.1.0"
