"""Flat stretch to linked fault; the timeline of a fault; what to work on next."""
