"""The share link as a square code that a phone reads, drawn as one path."""

import segno
from markupsafe import Markup

QUIET = 4
"""Modules of white round the code: ISO/IEC 18004 asks for four."""


def square_code(text: str, size_mm: float = 26.0) -> Markup:
    """The code of a text as an svg of a size in mm, quiet zone included; a quarter of it may be spoilt."""
    rows = [list(row) for row in segno.make(text, error="q", micro=False).matrix]
    side = len(rows) + 2 * QUIET
    dark = "".join(
        f"M{x + QUIET},{y + QUIET}h1v1h-1z" for y, row in enumerate(rows) for x, bit in enumerate(row) if bit
    )
    frame = '<svg class="square-code" width="{0}mm" height="{0}mm" viewBox="0 0 {1} {1}" role="img"'
    label = ' aria-label="Code of the link, for a phone"><path d="{2}"/></svg>'
    return Markup(frame + label).format(f"{size_mm:g}", side, dark)
