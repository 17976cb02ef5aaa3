"""The type: one serif and one sans, cut down to the letters a page uses and carried inside it.

The fonts come as packages, with their licence. What is carried in a page is a part of a font, so it does not go by the
font's own name.
"""

from __future__ import annotations

import base64
import io
from functools import cache
from typing import Any

CUTS = (("headrace serif", 400), ("headrace serif", 600), ("headrace sans", 400), ("headrace sans", 600))
KEPT = ["kern", "liga", "mark", "mkmk"]  # features of the font the page makes use of
PLAIN = "".join(map(chr, range(32, 127)))
USUAL = "°±²³µ·½×ΔΩαβγημπρστω–—’“”…−≤≥"  # always there, so that one cut serves nearly every page


def lettering(page: str) -> str:
    """Return the ``@font-face`` rules for the letters of a page, each font carried as data."""
    letters = frozenset(page) | frozenset(PLAIN + USUAL)
    return "\n".join(_face(family, weight, _cut(family, weight, letters)) for family, weight in CUTS)


def _file(family: str, weight: int) -> str:
    import font_source_sans_pro as sans
    import font_source_serif_pro as serif

    if family == "headrace serif":
        return str(serif.font_files_otf["SourceSerifPro" if weight == 400 else "SourceSerifProSemibold"])
    return str(sans.font_files_otf["SourceSansPro" if weight == 400 else "SourceSansProSemibold"])


@cache
def _cut(family: str, weight: int, letters: frozenset[str]) -> bytes:
    from fontTools import subset

    options = subset.Options()
    options.flavor = "woff2"
    options.layout_features = KEPT
    options.hinting = False
    options.name_IDs = [0, 13, 14]  # copyright and licence
    font: Any = subset.load_font(_file(family, weight), options)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[ord(letter) for letter in letters])
    cutter.subset(font)
    packed = io.BytesIO()
    subset.save_font(font, packed, options)
    font.close()
    return packed.getvalue()


def _face(family: str, weight: int, font: bytes) -> str:
    data = base64.b64encode(font).decode("ascii")
    return (
        f'@font-face {{ font-family:"{family}"; font-weight:{weight}; '
        f'src:url("data:font/woff2;base64,{data}") format("woff2"); }}'
    )
