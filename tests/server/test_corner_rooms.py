"""The corner view of every demo room against a painter of its own: on a grid of pixels the line of sight of each is cut
with the planes of every solid, and the solid that it leaves last, nearest to the reader, has to be painted last."""

import numpy as np
import pytest
from numpy.typing import NDArray

from geometry.shapes import overlap_mm
from server.drawing.corner_eye import Eye
from server.drawing.corner_order import Body
from server.drawing.corner_view import picture
from tests.server.drawn import NAMES, demo

WIDTH_PX, STEP_PX = 640.0, 4.0
SAME_MM = 1.0
MISSED = -1e12
Depths = NDArray[np.float64]


def lines_of_sight(eye: Eye, height_px: float) -> tuple[Depths, Depths]:
    """A point in the room on the line behind each pixel (n x 3), and the direction from it to the reader."""
    x, y = np.meshgrid(np.arange(1.0, WIDTH_PX, STEP_PX), np.arange(1.0, height_px, STEP_PX))
    across = (x.ravel() - eye.at_px[0]) / eye.scale_px_mm
    up = -(y.ravel() - eye.at_px[1]) / eye.scale_px_mm
    points = np.column_stack([across * eye.right[0], across * eye.right[1], up / eye.rise])
    return points, np.array([-eye.away[0] * eye.rise, -eye.away[1] * eye.rise, eye.lean])


def depths(body: Body, points: Depths, way: Depths) -> Depths:
    """How far towards the reader each line leaves a solid; `MISSED` where it misses."""
    ring = np.array(body.ring_mm)
    sides = np.roll(ring, -1, axis=0) - ring
    normals = np.column_stack([sides[:, 1], -sides[:, 0], np.zeros(len(ring))])
    if (ring[:, 0] * np.roll(ring[:, 1], -1) - ring[:, 1] * np.roll(ring[:, 0], -1)).sum() < 0:
        normals = -normals
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    reaches = (normals[:, :2] * ring).sum(axis=1)
    normals = np.vstack([normals, [[0, 0, 1], [0, 0, -1]]])
    reaches = np.append(reaches, [body.to_mm, -body.from_mm])
    rates, rooms = normals @ way, reaches - points @ normals.T
    with np.errstate(divide="ignore", invalid="ignore"):
        at = rooms / rates
    leaves = np.where(rates > 1e-9, at, np.inf).min(axis=1)
    enters = np.where(rates < -1e-9, at, -np.inf).max(axis=1)
    missed = ((np.abs(rates) <= 1e-9) & (rooms < 0)).any(axis=1)
    return np.where((leaves - enters > SAME_MM) & ~missed, leaves, MISSED)


def share_space(a: Body, b: Body) -> bool:
    """Two solids drawn into each other have no right order."""
    return min(a.to_mm, b.to_mm) - max(a.from_mm, b.from_mm) > 0.5 and overlap_mm(a.plan, b.plan) > 0.5


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("corner", [0, 2])
def test_no_hidden_face_is_painted_in_front(name: str, corner: int) -> None:
    seen = picture(demo(name), corner, WIDTH_PX)
    points, way = lines_of_sight(seen.eye, seen.size_px[1])

    found = np.array([depths(body, points, way) for body in seen.bodies])

    met = found > MISSED
    covered = met.any(axis=0)
    painted = len(seen.bodies) - 1 - np.argmax(met[::-1], axis=0)
    nearest = np.argmax(found, axis=0)
    places = np.arange(found.shape[1])
    wrong = covered & (found[nearest, places] - found[painted, places] > SAME_MM)
    pairs = {(int(a), int(b)) for a, b in zip(nearest[wrong], painted[wrong], strict=True)}
    faults = [(seen.bodies[a], seen.bodies[b]) for a, b in pairs if not share_space(seen.bodies[a], seen.bodies[b])]
    assert covered.sum() > 500
    assert [(a.owner, a.kind, b.owner, b.kind) for a, b in faults] == []


def test_the_painter_here_finds_a_wrong_order() -> None:
    """So that it cannot pass everything: the same bodies, painted near ones first."""
    seen = picture(demo("boot-room"), 0, WIDTH_PX)
    points, way = lines_of_sight(seen.eye, seen.size_px[1])

    found = np.array([depths(body, points, way) for body in reversed(seen.bodies)])

    met = found > MISSED
    painted = len(found) - 1 - np.argmax(met[::-1], axis=0)
    places = np.arange(found.shape[1])
    assert (met.any(axis=0) & (found.max(axis=0) - found[painted, places] > SAME_MM)).sum() > 100
