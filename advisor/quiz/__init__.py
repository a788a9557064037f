"""Quiz items made from the rules, what a learner knows of them, and when to ask again."""
