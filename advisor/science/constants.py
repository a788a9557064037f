"""Constants of nature and conversions of unit, and nothing a cook or an inspector could argue with."""

from __future__ import annotations

GAS_CONSTANT = 8.314462618
"""Molar gas constant [J/mol K], CODATA 2018 (exact)."""

BOLTZMANN = 1.380649e-23
"""Boltzmann constant [J/K], SI 2019 (exact)."""

PLANCK = 6.62607015e-34
"""Planck constant [J s], SI 2019 (exact)."""

ZERO_CELSIUS_K = 273.15
"""Temperature of 0 °C [K] (exact)."""

SECONDS_PER_HOUR = 3600.0
"""Seconds in an hour."""

SODIUM_KG_PER_KMOL = 22.98977
"""Molar mass of sodium, IUPAC."""

SODIUM_CHLORIDE_KG_PER_KMOL = 58.44277
"""Molar mass of sodium chloride, IUPAC."""
