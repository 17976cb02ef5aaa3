"""What every drawing shares: the frame, a line of text, and how wide it is set."""

from __future__ import annotations

import re
from importlib.resources import files

from markupsafe import Markup, escape

LETTER = 0.5  # mean width of a letter of the sans, in its size


def figure(kind: str, width: float, height: float, title: str, says: str, body: str) -> Markup:
    """Return a drawing with the words that stand for it where it cannot be seen.

    Parameters
    ----------
    kind
        Class of the SVG.
    title, says
        What it shows, and what can be read off it.
    body
        Its marks; every name in them that comes from a file must be escaped already.
    """
    return Markup(  # noqa: S704 - see body
        f'<svg class="{kind}" role="img" viewBox="0 0 {width:.0f} {height:.0f}">'
        f"<title>{escape(title)}</title><desc>{escape(says)}</desc>{body}</svg>"
    )


def alone(drawing: str) -> str:
    """Return a drawing as a file of its own, in the tones of print, for what knows no page around it."""
    css = files("headrace.paper").joinpath("templates/drawings.css").read_text(encoding="utf-8")
    print_tones = dict(re.findall(r"--(\w+):(#\w+)", css.partition("@media print")[2].partition("}")[0]))
    rules = re.sub(r"/\*.*?\*/|:root[^}]*}|@media[^{]*{\s*:root[^}]*}\s*}|\.upright {[^}]*}", "", css)
    rules = re.sub(r"var\(--(\w+)\)", lambda tone: print_tones[tone[1]], rules)
    rules = re.sub(r"(?m)^svg {[^}]*}|svg (?=[.t])", "", rules)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {drawing.removeprefix("<svg ")}'
    opening, _, rest = head.partition(">")
    return f"{opening}><style>{' '.join(rules.split())}</style>{rest}"


def text(x: float, y: float, words: str, kind: str = "", anchor: str = "start") -> str:
    """Return one line of text."""
    style = f' class="{kind}"' if kind else ""
    ends = f' text-anchor="{anchor}"' if anchor != "start" else ""
    return f'<text{style}{ends} x="{x:.1f}" y="{y:.1f}">{escape(words)}</text>'


def wide(words: str, size: float) -> float:
    """Return about how wide a text is set."""
    return LETTER * size * len(words)


def folded(words: str, room: float, size: float, lines: int) -> list[str]:
    """Return a text in at most so many lines that each keep to the room; what is left over ends in dots."""
    rows: list[str] = []
    for word in words.split():
        if rows and wide(f"{rows[-1]} {word}", size) <= room:
            rows[-1] += f" {word}"
        else:
            rows.append(word)
    letters = max(int(room / (LETTER * size)), 4)
    rows = rows[:lines] if len(rows) <= lines else [*rows[: lines - 1], f"{rows[lines - 1]}…"]
    return [row if len(row) <= letters + 2 else f"{row[:letters]}…" for row in rows]
