"""What a customer calls the kit: everyday names in place of the trade's."""

from collections import Counter
from collections.abc import Sequence

from geometry.scene import Placed, Scene
from geometry.words import within

# The start of a kind's key on the shelf, and the everyday name. The longest start that fits wins.
_EVERYDAY = {
    "wall-boiler": "boiler",
    "floor-boiler": "boiler",
    "heat-interface-unit": "heat unit",
    "unvented-cylinder": "hot water cylinder",
    "vented-cylinder": "hot water cylinder",
    "heat-pump-cylinder": "hot water cylinder",
    "plate-exchanger": "heat plate",
    "hot-water-plate-set": "hot water unit",
    "thermal-store": "heat store",
    "buffer": "heating tank",
    "volumiser": "heating tank",
    "heat-pump-hydraulic-box": "heat pump box",
    "heat-pump-indoor-tower": "heat pump",
    "ground-source-heat-pump": "heat pump",
    "stop-tap": "stop tap",
    "water-meter": "water meter",
    "water-softener": "water softener",
    "break-tank": "cold water tank",
    "cold-water-cistern": "cold water tank",
    "booster-set": "water pump",
    "accumulator": "pressure tank",
    "expansion-vessel": "small pressure tank",
    "magnetic-filter": "filter",
    "air-and-dirt-separator": "filter",
    "hydraulic-separator": "pipe joint",
    "two-port-valve": "heating valve",
    "three-port-valve": "heating valve",
    "circulating-pump": "pump",
    "secondary-return-pump": "pump",
    "automatic-bypass": "heating valve",
    "blending-valve": "mixing valve",
    "air-vent": "air vent",
    "inlet-valve-group": "water valve set",
    "tundish": "drip cup",
    "filling-loop": "filling hose",
    "condensate-pump": "waste pump",
    "gas-valve": "gas tap",
    "gas-meter": "gas meter",
    "underfloor-manifold": "cabinet with the heating pipes",
    "plumbing-manifold": "cabinet with the water pipes",
    "consumer-unit": "fuse board",
    "electricity-meter-board": "electric meter",
    "fused-spur": "switch",
    "wiring-centre": "wiring box",
    "programmer": "timer",
    "wireless-receiver": "heating control",
    "inverter": "power box",
    "battery": "battery",
    "carbon-monoxide-alarm": "carbon monoxide alarm",
    "washing-machine": "washing machine",
    "tumble-dryer": "tumble dryer",
    "sink-base": "sink",
    "worktop": "worktop",
    "shelving": "shelf unit",
    "airer": "clothes airer",
    "leak-tray": "drip tray",
    "ventilation-unit": "fresh air unit",
    "extract-fan": "fan",
}

# For kinds of the user's own: what their traits say they are. The first that fits wins.
_BY_TRAIT = {
    "unvented-store": "hot water cylinder",
    "heat-pump": "heat pump",
    "cistern": "cold water tank",
    "vessel": "small pressure tank",
    "tundish": "drip cup",
    "stop-tap": "stop tap",
}


def everyday_name(placed: Placed) -> str:
    """The everyday name of a piece; its own name up to the first comma where nothing better is known.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> own = box_kit("airlock", name="Boot store, oak")
    >>> everyday_name(sample_scene([own], [piece(own, 500, 500)]).placed[0])
    'boot store'
    """
    starts = [start for start in _EVERYDAY if placed.kit.key.startswith(start)]
    if starts:
        return _EVERYDAY[max(starts, key=len)]
    for trait, name in _BY_TRAIT.items():
        if placed.kit.has(trait):
            return name
    return within(placed.name.split(",")[0].strip())


def the(name: str) -> str:
    """A name with its article; a numbered one stands without.

    >>> the("boiler"), the("boiler 2")
    ('the boiler', 'boiler 2')
    """
    return name if name[-1:].isdigit() else f"the {name}"


def plural_name(name: str) -> bool:
    """Whether a name is that of several things, by its last word or because it joins two.

    >>> [plural_name(name) for name in ("the bicycles", "coats and shoes", "the gas", "the glass", "the boot rack")]
    [True, True, False, False, False]
    """
    head = name.split(",")[0].split(" with ")[0].split(" for ")[0].split(" of ")[0].strip().lower()
    last = head.rpartition(" ")[2]
    return " and " in head or (last.endswith("s") and not last.endswith(("ss", "us", "is", "as", "ics")))


def together(names: Sequence[str]) -> list[str]:
    """Names with their articles, each once: those that part only in their number are told as several.

    >>> together(["pump 1", "pump 2", "boiler"]), together(["cabinet with the pipes 1", "cabinet with the pipes 2"])
    (['the 2 pumps', 'the boiler'], ['the 2 cabinets with the pipes'])
    """
    plain = [name.rstrip(" 0123456789") for name in names]
    counted = Counter(plain)
    return [
        the(name) if counted[base] == 1 else f"the {counted[base]} {several(base)}"
        for base, name in dict(zip(plain, names, strict=True)).items()
    ]


def several(name: str) -> str:
    """The plural of an everyday name.

    >>> [several(name) for name in ("pump", "wiring box", "switch", "cabinet with the pipes")]
    ['pumps', 'wiring boxes', 'switches', 'cabinets with the pipes']
    """
    head, joint, rest = name.partition(" with ")
    return f"{head}{'es' if head.endswith(('s', 'x', 'ch', 'sh')) else 's'}{joint}{rest}"


def is_are(names: Sequence[str]) -> str:
    """The verb for some names together.

    >>> is_are(["the boiler"]), is_are(["the bicycles"]), is_are(["the boiler", "the tank"])
    ('is', 'are', 'are')
    """
    return "are" if len(names) > 1 or plural_name(names[0]) else "is"


def everyday_names(scene: Scene) -> dict[str, str]:
    """The everyday name of each piece by its id; where several are called alike, each with a number from the left."""
    names = {item.id: everyday_name(item) for item in scene.placed}
    alike = Counter(names.values())
    for name in [name for name, count in alike.items() if count > 1]:
        same = sorted((item for item in scene.placed if names[item.id] == name), key=lambda item: item.piece.at_mm)
        names |= {item.id: f"{name} {number}" for number, item in enumerate(same, 1)}
    return names
