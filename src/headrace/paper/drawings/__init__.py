"""What is ours to draw: the power trail, the map of packs. Each is an SVG that takes its tones from the page."""
