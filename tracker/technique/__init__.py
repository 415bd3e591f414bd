"""Flat stretch to linked fault; the life of a fault; what to work on next."""
