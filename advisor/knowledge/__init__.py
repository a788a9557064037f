"""The rulebase as checked, frozen records. ``load_rulebase`` is the only door."""

from advisor.knowledge.loader import load_rulebase
from advisor.knowledge.rulebase import Rulebase

__all__ = ["Rulebase", "load_rulebase"]
