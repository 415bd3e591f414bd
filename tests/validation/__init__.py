"""How far the verdict can be trusted: `python -m tests.validation` measures it and writes the tables."""
