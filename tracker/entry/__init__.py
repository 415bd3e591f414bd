"""Text to records: forms, flags and files obey the same rules and report all errors at once."""
