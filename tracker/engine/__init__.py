"""Swims become comparable series, series a trend, a trend a verdict. Pure: arrays in, values out."""
