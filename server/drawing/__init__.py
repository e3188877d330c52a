"""Drawings of a room, as SVG fragments made of strings. The caller supplies ``<svg>`` and ``<defs>``; sheets to scale
are whole ``<svg>`` elements.
"""

from server.drawing.findings import Pin, draw_findings, key_text, pins
from server.drawing.inset import inset, inset_caption
from server.drawing.kit import draw_kit
from server.drawing.paper import choose_scale
from server.drawing.room import draw_room
from server.drawing.sheet_marks import WallMark, wall_marks
from server.drawing.sheets import plan_sheet, wall_sheet
from server.drawing.silhouettes import silhouette, silhouette_size
from server.drawing.small import key_plan, thumbnail, thumbnail_scale
from server.drawing.svg import patterns
from server.drawing.unfold import Face, Unfolded, one_wall, unfolded

__all__ = [
    "Face", "Pin", "Unfolded", "WallMark", "choose_scale", "draw_findings", "draw_kit", "draw_room", "inset",
    "inset_caption", "key_plan", "key_text", "one_wall", "patterns", "pins", "plan_sheet", "silhouette",
    "silhouette_size", "thumbnail", "thumbnail_scale", "unfolded", "wall_marks", "wall_sheet",
]  # fmt: skip
