"""Invented seasons, seeded; every generator returns the truth with the signal."""
