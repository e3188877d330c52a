"""The room as measured: paper, grid, walls, doors, windows, fixtures, beams, slopes, outlets, names and heights."""

from markupsafe import Markup

from geometry.scene import Scene
from server.drawing.fixed import beams_before, blocks, blocks_on, kept_free, outlets, outlets_on, overhead
from server.drawing.grounds import face_edge, face_ground, floor, foot, frame
from server.drawing.openings import doorways, fronts_on
from server.drawing.room_labels import room_labels
from server.drawing.unfold import Face, Unfolded


def draw_room(view: Unfolded, scene: Scene) -> Markup:
    """Everything of a drawing that does not move: one fragment, to be put under the kit.

    Each face is a group with ``data-face`` (its wall), ``data-matrix`` (a b c d e f: from the left corner and from
    finished floor to page units), ``data-start`` and ``data-along`` (its wall line in the plan, in mm). The plan is a
    group with ``data-plan`` and its ``data-matrix``.
    """
    grain = view.grain
    parts = [_face(view, face, scene) for face in view.faces]
    if view.shows_plan:
        parts.append(_plan(view, scene))
    parts += [foot(face, grain, 3 * grain.line) for face in view.faces if not face.folded]
    parts.append(room_labels(view, scene))
    return Markup("".join(parts))


def _face(view: Unfolded, face: Face, scene: Scene) -> str:
    edge, grain = scene.edges[face.edge], view.grain
    m = " ".join(f"{value:.6g}" for value in face.matrix)
    (sx, sy), (ux, uy) = edge.start, edge.along
    head = (
        f'<g data-face="{face.edge}" data-matrix="{m}" data-length="{edge.length_mm:g}" '
        f'data-start="{sx:g} {sy:g}" data-along="{ux:.6g} {uy:.6g}">'
    )
    body = (
        face_ground(face, grain), beams_before(face, scene, grain), fronts_on(face, scene, grain),
        blocks_on(face, scene, grain), outlets_on(face, scene, grain), face_edge(face, grain),
    )  # fmt: skip
    return head + "".join(body) + "</g>"


def _plan(view: Unfolded, scene: Scene) -> str:
    m = " ".join(f"{value:.6g}" for value in view.plan)
    body = (
        floor(view, scene), kept_free(view, scene), overhead(view, scene), blocks(view, scene), frame(view, scene),
        doorways(view, scene), outlets(view, scene),
    )  # fmt: skip
    return f'<g data-plan="" data-matrix="{m}">' + "".join(body) + "</g>"
