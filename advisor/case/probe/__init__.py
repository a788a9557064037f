"""Records of a probe, as loggers write them: read, counted, never filled in."""

from __future__ import annotations

from advisor.case.probe.log import Channel, Gap, Lost, ProbeLog, read_log, to_celsius, to_fahrenheit
from advisor.case.probe.table import FAHRENHEIT

__all__ = ["FAHRENHEIT", "Channel", "Gap", "Lost", "ProbeLog", "read_log", "to_celsius", "to_fahrenheit"]
