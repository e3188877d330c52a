"""What a customer will live with: what changes in the room, and what to expect of noise, heat and visits."""

from collections.abc import Iterable, Mapping

from geometry.check import Finding
from geometry.moved_since import moved_since
from geometry.scene import Placed, Scene
from geometry.words import listed, start
from geometry.words import the as with_the
from server.agreed import plainly
from server.customer_names import everyday_names, is_are, plural_name, together
from server.customer_room import how_often
from server.drawing.corner_floor import OWN_GROUP, taken_floor

LEAST_AREA_M2 = 0.05
_LOUD, _WARM = ("noisy", "heat-pump", "pump"), ("hot", "store")


def changes(scene: Scene, findings: Iterable[Finding], first: Scene | None) -> list[str]:
    """What is not as it was in the customer's room. ``first`` is the room as it was when it was first drawn."""
    sentences = [f"A new door is planned{_sizes(door.clear_mm)}." for door in scene.room.doors if door.planned]
    area_m2 = taken_floor(scene).area / 1e6
    if area_m2 >= LEAST_AREA_M2:
        sentences.append(f"The kit takes about {area_m2:.1f} square metres of floor.")
    lost = {ref for f in findings if f.check == "keep-free" and f.verdict == "put-right" for ref in f.against}
    for own in scene.room.keep_free:
        if own.id in lost:
            loses = "lose their place" if plural_name(own.name) else "loses its place"
            sentences.append(f"{start(with_the(own.name))} {loses}, unless something moves.")
    return [*sentences, *_own_things(scene, first)]


def _sizes(clear_mm: float) -> str:
    return f", {clear_mm / 10:.0f} cm wide"


def _own_things(scene: Scene, first: Scene | None) -> list[str]:
    """What happened to the customer's own things since the room was first drawn."""
    if first is None:
        return []
    names = everyday_names(first) | everyday_names(scene)
    theirs = {item.id for one in (first, scene) for item in one.placed if item.kit.group == OWN_GROUP}
    return [plainly(one, names) for one in moved_since(first, scene) if one.ref in theirs]


def expected(scene: Scene, names: Mapping[str, str]) -> list[tuple[str, str]]:
    """A sentence each on noise, heat and access, each with its head."""
    ours = [item for item in scene.placed if item.kit.group != OWN_GROUP]
    return [("Noise", _noise(ours, names)), ("Heat", _heat(ours, names)), ("Access", _access(ours))]


def _of(ours: Iterable[Placed], names: Mapping[str, str], traits: tuple[str, ...]) -> list[str]:
    return together([names[item.id] for item in ours if any(item.kit.has(trait) for trait in traits)])


def _noise(ours: Iterable[Placed], names: Mapping[str, str]) -> str:
    loud = _of(ours, names, _LOUD)
    if not loud:
        return "We know of nothing loud in here."
    several = is_are(loud) == "are"
    return f"{start(listed(loud))} {'hum' if several else 'hums'} at work, so you may hear {_them(several)} next door."


def _heat(ours: Iterable[Placed], names: Mapping[str, str]) -> str:
    warm = _of(ours, names, _WARM)
    if not warm:
        return "We know of nothing hot in here."
    return f"{start(listed(warm))} {'get' if is_are(warm) == 'are' else 'gets'} warm, and so does the room."


def _access(ours: Iterable[Placed]) -> str:
    often = max((item.kit.visits_a_year or 0.0 for item in ours), default=0.0)
    if not often:
        return "Keep the way in free, in case something needs mending."
    return f"Someone comes to look after the kit {how_often(often)} and needs the way in and the dotted floor."


def _them(several: bool) -> str:
    return "them" if several else "it"
