"""Text to records: forms, flags and files obey the same rules; all errors at once."""
