"""The only room that talks to a person: screens, dialogue, and the record for machines."""
