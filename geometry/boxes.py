"""Boxes square to the room, joined where they make one larger box: fewer shapes to unite."""

Box4 = tuple[float, float, float, float]


def in_few(boxes: list[Box4]) -> list[Box4]:
    """The same area in fewer boxes (min x, min y, max x, max y): those of one span that touch or overlap made one.

    >>> in_few([(0, 0, 2, 1), (1, 0, 3, 1), (5, 0, 6, 1), (5, 1, 6, 4)])
    [(0, 0, 3, 1), (5, 0, 6, 4)]
    """
    rows = _along([(x0, x1, y0, y1) for x0, y0, x1, y1 in boxes])
    columns = _along([(y0, y1, x0, x1) for x0, x1, y0, y1 in rows])
    return sorted((x0, y0, x1, y1) for y0, y1, x0, x1 in columns)


def _along(boxes: list[Box4]) -> list[Box4]:
    """Boxes (from, to, and their span across): those of the same span joined along the first axis."""
    groups: dict[tuple[float, float], list[tuple[float, float]]] = {}
    for low, high, *across in boxes:
        groups.setdefault((across[0], across[1]), []).append((low, high))
    found = []
    for span, parts in groups.items():
        low, high = min(parts)
        for start, end in sorted(parts):
            if start > high:
                found.append((low, high, *span))
                low, high = start, end
            high = max(high, end)
        found.append((low, high, *span))
    return found
