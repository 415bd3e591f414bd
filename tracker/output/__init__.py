"""Wording, figures, pages, plain text and tables: what a reader sees."""
