"""Records of a probe, as loggers write them: read, counted, never filled in."""

from __future__ import annotations

from advisor.case.probe.log import Channel, Gap, Lost, ProbeLog, read_log

__all__ = ["Channel", "Gap", "Lost", "ProbeLog", "read_log"]
