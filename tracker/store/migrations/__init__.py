"""Alembic's environment and one file per version of the tables."""
