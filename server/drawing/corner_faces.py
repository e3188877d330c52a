"""The faces of an upright solid that the reader of the corner view sees, as paths in three tones of paper."""

from dataclasses import dataclass
from math import hypot

from markupsafe import Markup

from geometry.shapes import hull
from geometry.units import Point
from server.drawing.corner_eye import Eye
from server.drawing.corner_order import Body
from server.drawing.svg import ring


@dataclass(frozen=True)
class Face:
    """One face on the paper: what it covers (a convex outline in px), how it is drawn, its tone and whose it is."""

    outline_px: tuple[Point, ...]
    path: str
    tone: str
    owner: str = ""

    @property
    def svg(self) -> Markup:
        """The path of the face."""
        return Markup('<path class="{}" d="{}"/>').format(self.tone, self.path)


def faces(body: Body, eye: Eye) -> list[Face]:
    """The faces of a body that are turned towards the reader, in the order in which to paint them.

    >>> from geometry.shapes import box
    >>> [face.tone for face in faces(Body(box(0, 0, 600, 600), 0, 850), Eye(0, 33.0))]
    ['light', 'dark', 'top']
    """
    if body.plan.radius_mm == 0:
        return [*_sides(body, eye), _lid(body, eye)]
    if len(body.plan.points) == 1:
        return _drum(body, eye)
    outline = eye.outline_px(body.ring_mm, body.from_mm, body.to_mm)
    return [Face(outline, ring(outline), "light", body.owner), _lid(body, eye)]


def _sides(body: Body, eye: Eye) -> list[Face]:
    found = []
    plan = body.plan.points
    for i, p in enumerate(plan):
        q = plan[(i + 1) % len(plan)]
        outward = (q[1] - p[1], p[0] - q[0])
        if not eye.faces(outward):
            continue
        tone = "light" if outward[0] * eye.right[0] + outward[1] * eye.right[1] >= -1e-9 * hypot(*outward) else "dark"
        corners = [(*p, body.from_mm), (*q, body.from_mm), (*q, body.to_mm), (*p, body.to_mm)]
        outline = tuple(eye.to_px(corner) for corner in corners)
        found.append(Face(outline, ring(outline), tone, body.owner))
    return sorted(found, key=lambda face: face.tone, reverse=True)


def _lid(body: Body, eye: Eye) -> Face:
    outline = tuple(eye.ring_px(body.ring_mm, body.to_mm))
    return Face(outline, ring(outline), "top", body.owner)


def _drum(body: Body, eye: Eye) -> list[Face]:
    """A round body: its side between the two upright tangents, and an ellipse for its top."""
    (x, y), r = body.plan.points[0], body.plan.radius_mm
    (cx, top), (_, foot) = eye.to_px((x, y, body.to_mm)), eye.to_px((x, y, body.from_mm))
    rx, ry = r * eye.scale_px_mm, r * eye.scale_px_mm * eye.lean
    side = (
        f"M{cx - rx:.1f},{top:.1f} V{foot:.1f} A{rx:.1f},{ry:.1f} 0 0 0 {cx + rx:.1f},{foot:.1f} V{top:.1f} "
        f"A{rx:.1f},{ry:.1f} 0 0 0 {cx - rx:.1f},{top:.1f}Z"
    )
    lid = f"M{cx - rx:.1f},{top:.1f} a{rx:.1f},{ry:.1f} 0 1 0 {2 * rx:.1f},0 a{rx:.1f},{ry:.1f} 0 1 0 {-2 * rx:.1f},0Z"
    outline = eye.outline_px(body.ring_mm, body.from_mm, body.to_mm)
    top_px = hull(eye.ring_px(body.ring_mm, body.to_mm))
    return [Face(outline, side, "light", body.owner), Face(top_px, lid, "top", body.owner)]
