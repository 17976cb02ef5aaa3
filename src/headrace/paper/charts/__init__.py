"""Curves over time, as Vega-Lite specifications: the page moves them, the report and the sheets draw them still."""
