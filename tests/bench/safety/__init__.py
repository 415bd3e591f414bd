"""Figures of safety, run on demand: ``python -m tests.bench.safety``. Each leaves a log with its seed."""
