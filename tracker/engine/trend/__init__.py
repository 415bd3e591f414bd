"""Arrays in, posterior out: segments, rates, onsets, forecasts. Knows no swimming."""
