"""A bar for what a number carries: hatched where it is known, dotted where it is assumed."""

from __future__ import annotations

from markupsafe import Markup

from headrace.paper.hatch import hatched

LENGTH, HEIGHT = 440.0, 11.0


def bar(share: float, basis: str, alone: float | None = None) -> Markup:
    """Return a bar to scale; the words beside it say the number, so it is hidden from who listens.

    Parameters
    ----------
    share
        Of the whole length. [-]
    basis
        Where the number came from.
    alone
        Of the whole length, the part that is filled; all of the bar unless given. [-]
    """
    long = _length(share)
    full = long if alone is None else min(_length(alone), long)
    corners = [(0.5, 1.0), (0.5 + full, 1.0), (0.5 + full, 1.0 + HEIGHT), (0.5, 1.0 + HEIGHT)]
    return Markup(  # noqa: S704 - numbers and our own words
        f'<svg class="bar" aria-hidden="true" viewBox="0 0 {LENGTH:.0f} {HEIGHT + 3.0:.0f}">'
        f'<path class="track" d="M0 {HEIGHT + 1.5}H{LENGTH:.0f}"/>{hatched(corners, basis, "ink")}'
        f'<rect class="outline" x="0.5" y="1" width="{long:.1f}" height="{HEIGHT}"/></svg>'
    )


def _length(share: float) -> float:
    return max((LENGTH - 1.0) * min(share, 1.0), 1.0)
