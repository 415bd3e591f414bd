"""Laws and figures of the trend."""
