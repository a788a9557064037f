"""Worked cases, as data. Holds no code."""
