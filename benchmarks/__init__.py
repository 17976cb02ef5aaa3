"""Speed as ratios of things run side by side, with their agreement; ``make speed`` prints them."""
