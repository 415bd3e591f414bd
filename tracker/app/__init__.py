"""The use-cases: one topic a file, one transaction each."""
