"""The old place of `judge`; it works for one release more."""
