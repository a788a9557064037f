"""The rulebase as checked, frozen records. ``load_rulebase`` is the only door."""

from advisor.knowledge.house import House, read_house, under_house
from advisor.knowledge.loader import load_rulebase
from advisor.knowledge.rulebase import Rulebase

__all__ = ["House", "Rulebase", "load_rulebase", "read_house", "under_house"]
