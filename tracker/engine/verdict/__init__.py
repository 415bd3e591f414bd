"""Posterior to gaining, plateau, slipping, slowed or too early, with reasons."""
