"""What one can ask for: one verb a file, one transaction each."""
