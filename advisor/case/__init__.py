"""What was said: the case, its steps, and where each fact came from."""
