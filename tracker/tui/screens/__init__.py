"""One file a screen; a screen asks use-cases and shows what they return."""
