"""The trade knowledge, as data. Holds no code."""
