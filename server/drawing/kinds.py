"""How each kind of kit is drawn, told from its key, its name and its traits. Generic, after no maker's pattern."""

from functools import lru_cache
from typing import Final

from geometry.kit import Kit

_BY_WORD: Final = (
    ("flue", ("flue",)),
    ("oil-boiler", ("floor-boiler", "floor boiler", "oil-boiler")),
    ("boiler", ("boiler", "hydraulic-box", "interface-unit")),
    ("lying-cylinder", ("horizontal",)),
    ("tower", ("tower", "ground-source")),
    ("vessel", ("expansion-vessel", "vessel")),
    ("cylinder", ("cylinder", "thermal-store", "buffer", "volumiser", "store")),
    ("accumulator", ("accumulator",)),
    ("wiring", ("wiring-centre", "wiring centre")),
    ("plate-set", ("plate-set",)),
    ("plates", ("plate-exchanger", "exchanger")),
    ("sink", ("sink",)),
    ("softener", ("softener",)),
    ("cistern", ("cistern",)),
    ("tank", ("tank",)),
    ("booster", ("booster", "pump-set", "pump set")),
    ("separator", ("hydraulic-separator",)),
    ("filter", ("filter", "dirt", "strainer")),
    ("tundish", ("tundish",)),
    ("condensate", ("condensate-pump",)),
    ("pump", ("pump",)),
    ("floor-manifold", ("underfloor-manifold",)),
    ("manifold", ("manifold",)),
    ("gas-meter", ("gas-meter",)),
    ("meter-board", ("meter-board",)),
    ("water-meter", ("water-meter", "water meter")),
    ("loop", ("filling-loop",)),
    ("group-valve", ("valve-group",)),
    ("motor-valve", ("port-valve", "zone-valve", "motorised")),
    ("valve", ("valve", "tap", "bypass")),
    ("vent", ("air-vent",)),
    ("consumer", ("consumer-unit",)),
    ("inverter", ("inverter", "battery")),
    ("switch", ("fused-spur", "switch", "receiver", "alarm")),
    ("programmer", ("programmer", "control")),
    ("washing", ("washing", "dryer")),
    ("worktop", ("worktop",)),
    ("shelves", ("shelv",)),
    ("airer", ("airer",)),
    ("tray", ("tray",)),
    ("air-unit", ("ventilation",)),
    ("fan", ("fan",)),
)


@lru_cache(maxsize=1024)
def _kind(key: str, name: str) -> str | None:
    words = f"{key.lower()} {name.lower()}"
    return next((kind for kind, any_of in _BY_WORD if any(word in words for word in any_of)), None)


def kind_of(kit: Kit) -> str:
    """The way of drawing that suits a kind of kit; ``cabinet`` or ``drum`` where nothing else does.

    >>> from geometry.shelf import shelf
    >>> [kind_of(shelf()[key]) for key in ("wall-boiler-system", "unvented-cylinder-210", "washing-machine")]
    ['boiler', 'cylinder', 'washing']
    """
    kind = _kind(kit.like or kit.key, "" if kit.like else kit.name)
    round_body = kit.plan.round_mm is not None
    if kind == "cylinder" and not round_body:
        return "lying-cylinder" if kit.plan.width_mm > kit.height_mm else "tower"
    if kind in ("vessel", "accumulator") and not round_body:
        return "cabinet"
    if kind is None:
        return _by_trait(kit, round_body)
    return kind


def _by_trait(kit: Kit, round_body: bool) -> str:
    if kit.has("unvented-store") or kit.has("store"):
        return "cylinder" if round_body else "tower"
    if kit.has("cistern"):
        return "tank"
    if kit.has("gas") and kit.has("hot"):
        return "boiler" if kit.stands_on == "wall" else "oil-boiler"
    return "drum" if round_body else "cabinet"
