"""A plan in a cook's own words: read by a grammar built from the rulebase, played back, and written again."""
