"""The question flow as a state machine; no terminal in here."""
