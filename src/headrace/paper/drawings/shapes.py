"""The shape of each limit in the map of packs, drawn in a square of 24 by 24; strokes take the ink of the page."""

from __future__ import annotations

from headrace.paper.words import SHAPES, spoken

# Each is the sign the trade would draw for it: volts that run into a lid, a switch that opens, a coil that is warm.
TOO_FAST = '<path d="M4 16 12 7l8 9"/>'
OVER_VOLTS = '<path d="M4 8.5h16M12 21V3.5M8.5 7 12 3.5 15.5 7"/>'
STROKES = {
    "tip-too-fast": TOO_FAST,
    "too-fast-when-full": TOO_FAST,
    "too-slow-when-empty": '<path d="M4 8l8 9 8-9"/>',
    "stopped-by-the-cold": '<path d="M12 3.5v17M4.6 7.8l14.8 8.4M19.4 7.8L4.6 16.2"/>',
    "part-over-voltage": OVER_VOLTS,
    "volts-past-rating-downhill": OVER_VOLTS,
    "full-pack-downhill": '<path d="M7 5.500h10v16H7zM10 5.500V3h4v2.5M12 18V9M9 12l3-3.500 3 3.5"/>',
    "cuts-out-under-load": '<path d="M2 15.500h4.500M7.5 14.5 17 7M17.5 15.500H22"/>'
    '<circle cx="6.5" cy="15.5" r="1.6"/><circle cx="17.5" cy="15.5" r="1.6"/>',
    "cell-pulled-too-low": '<path d="M7 5.500h10v16H7zM10 5.500V3h4v2.5"/><path class="thick" d="M8 19.500h8"/>',
    "cell-current-continuous": '<path class="thick" d="M3 12h18"/>',
    "cell-current-peak": '<path d="M2 15.500h6.500L12 6l3.5 9.500H22"/>',
    "source-past-its-amps": '<path d="M2 12h20M6 8.500h12v7H6z"/>',
    "cells-too-hot": '<path d="M7 21c-4-5 4-7 0-12 -1-1.5-1-3 0-5M12 21c-4-5 4-7 0-12 -1-1.5-1-3 0-5'
    'M17 21c-4-5 4-7 0-12 -1-1.5-1-3 0-5"/>',
    "winding-too-hot": '<path d="M1.5 16H4a3.2 4.5 0 0 1 5.3 0 3.2 4.5 0 0 1 5.4 0 3.2 4.5 0 0 1 5.3 0h2.5'
    'M8 9c-1.5-2 1.5-3 0-5M12 9c-1.5-2 1.5-3 0-5M16 9c-1.5-2 1.5-3 0-5"/>',
    "too-short-new": '<path d="M12 4a8 8 0 1 1-8 8"/><path d="M12 8v4.5"/>',
    "too-short-aged": '<path d="M12 4a8 8 0 0 1 0 16"/><path d="M12 8v4.5"/>',
    "too-heavy": '<path d="M7.5 9.500h9L20 20H4z"/><circle cx="12" cy="6.5" r="2.8"/>',
    "does-not-fit": '<path d="M3.5 7v13.500H17V7z"/><path d="M10 13.5 21 3M15 3h6v6"/>',
    "over-budget": '<circle cx="12" cy="12" r="6.5"/>'
    '<path d="M7.4 7.4 4 4M16.6 7.4 20 4M7.4 16.6 4 20M16.6 16.6 20 20"/>',
}
OTHER = '<path d="M6 6l12 12M18 6 6 18"/>'  # a limit this room has not been told of


def stroke(slug: str) -> str:
    """Return the strokes of a limit's shape."""
    return STROKES.get(slug, OTHER)


def called(slug: str) -> str:
    """Return what a limit is called in the key."""
    return SHAPES[slug][1] if slug in SHAPES else spoken(slug)


def order(slug: str) -> int:
    """Return where a limit stands in the key."""
    return list(SHAPES).index(slug) if slug in SHAPES else len(SHAPES)
