"""How far each leaf of the room's doors stands open on a drawing."""

from geometry.doors import HungLeaf, hung_leaves
from geometry.doors import opened as opened_by
from geometry.scene import Scene

USUAL_DEG = 90.0
"""A leaf that nothing stops is drawn square to its wall, or as far as it has to open: common practice, no source."""


def open_leaves(scene: Scene, owner: str | None = None) -> list[tuple[HungLeaf, float]]:
    """Every leaf of the room's doors (or of one owner, which may be a piece), and the angle it is drawn at."""
    doors = {door.id for door in scene.room.doors}
    wanted = doors if owner is None else {owner}
    leaves = [leaf for leaf in hung_leaves(scene) if leaf.owner in wanted]
    found = []
    for one in opened_by(scene, leaves):
        stops = [contact.angle_deg for contact in (one.fixed, one.loose) if contact]
        found.append((one.leaf, min([one.deg, max(USUAL_DEG, one.leaf.needed_deg), *stops])))
    return found


def opened(scene: Scene) -> dict[str, tuple[float, ...]]:
    """Degrees for every leaf of the room's doors, by the door's id: to its widest true angle, at most as far as usual.

    >>> from geometry.samples import sample_scene
    >>> opened(sample_scene([], [], doors=[{"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 760}]))
    {'d1': (90.0,)}
    """
    found: dict[str, tuple[float, ...]] = {}
    for leaf, angle in open_leaves(scene):
        found[leaf.owner] = (*found.get(leaf.owner, ()), angle)
    return found
