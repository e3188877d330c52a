"""What the keyboard does on the workbench. The help page prints both lists; the workbench is tested against them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Key:
    """A key, or keys pressed together, and what they do to the picked piece, to a point of a pipe, or to the page."""

    keys: tuple[str, ...]
    does: str


HELP_KEYS: tuple[Key, ...] = (
    Key(("Tab",), "go on to the title, the notes, the pieces, the shelf"),
    Key(
        ("Enter",),
        "pick the piece or note; on the shelf: put the kit where nothing has to be put right",
    ),
    Key(("Arrow",), "move the picked piece 5 mm, while the focus is on the drawing or on the front of its label"),
    Key(("Shift", "Arrow"), "move it 50 mm"),
    Key(("Alt", "Arrow"), "move it 1 mm"),
    Key(("Page Up",), "raise it 5 mm; with Shift 50 mm, with Alt 1 mm"),
    Key(("Page Down",), "lower it 5 mm; with Shift 50 mm, with Alt 1 mm"),
    Key(("R",), "turn it a quarter, anticlockwise; with Shift clockwise; what hangs on a wall goes to the next one"),
    Key(("T",), "turn it by 15 degrees, anticlockwise; with Shift clockwise; any other angle is typed on its label"),
    Key(("D",), "put another one like it at the nearest free place"),
    Key(
        ("Shift", "Space"),
        "pick one piece more, or let go of one of several; with the mouse: Shift and a click, or a frame drawn on empty"
        " paper, with Shift beside what is picked; with a finger: rest it on each, or press Pick more and tap them",
    ),
    Key(("Delete",), "take it out of the room"),
    Key(("Escape",), "shut what is open; else put it back where it was, or let it go"),
    Key(("E",), "show every space, swing, way out and line of sight at once; once more: only those of what is picked"),
    Key(("Ctrl", "Z"), "undo the last step"),
    Key(("Ctrl", "Y"), "do it again"),
)

PIPE_KEYS: tuple[Key, ...] = (
    Key(("Tab",), "go on to the pipes on the label; of a picked one to what can be done with it, then to its points"),
    Key(("Enter",), "pick the pipe; on a point: open it, to type its place"),
    Key(("Arrow",), "move the point 5 mm; with Shift 50 mm, with Alt 1 mm"),
    Key(("Page Up",), "raise it 5 mm; with Shift 50 mm, with Alt 1 mm"),
    Key(("Page Down",), "lower it 5 mm; with Shift 50 mm, with Alt 1 mm"),
    Key(("Delete",), "take the point out"),
    Key(("Escape",), "put the point back where it was, or let the pipe go"),
)
