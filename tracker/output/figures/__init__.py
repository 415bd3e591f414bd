"""Charts: values to SVG, drawn by matplotlib on fixed axes."""
