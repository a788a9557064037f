"""Decides how to make a tough cut of meat tender, seasoned and harmless."""
