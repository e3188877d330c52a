"""Where each check does not apply, in a sentence or two: what it leaves to somebody else."""

LIMITS: dict[str, str] = {
    "body-overlap": (
        "Not for spaces: two pieces may share the floor that people need. Things above one another that share no "
        "height do not meet."
    ),
    "room-edge": (
        "Not for a back on its own wall or a base on the floor: that is contact. A ceiling that is not measured "
        "is asked for."
    ),
    "service-space": (
        "Not between spaces, which may overlap, nor where a space runs out through an open doorway. What is "
        "movable is named as what to move first."
    ),
    "draw-out": (
        "Only for what the kind of kit says is drawn out, straight and in one length. Bending a rod or tilting it "
        "is not tried."
    ),
    "tool-swing": (
        "Only for points with a tool that turns. The hand that holds the tool, a ratchet and a bent spanner are "
        "not drawn."
    ),
    "pipe-room": (
        "Not for flues, cables, ducts and hoses, nor for the sink and laundry. Only the tail and the first bend "
        "count; the rest of the pipe is not drawn here."
    ),
    "door-swing": (
        "Not for sliding doors and open doorways. A leaf that opens outwards is judged only where the floor "
        "beyond is drawn."
    ),
    "walkway": (
        "Only for kit that somebody works in front of. A loft that is crawled into and a step up are not judged."
    ),
    "reach": (
        "Not for points that are only looked at. Strength, grip and the reach of one particular person are not judged."
    ),
    "sight": "Only for what must be seen. Light, spectacles and the angle of a screen are not judged.",
    "height-band": (
        "Only for consumer units, meters, switches and readings. Written for new dwellings: elsewhere it is a custom."
    ),
    "emergency-reach": (
        "Only for what is marked as shut off in a hurry: stop tap, gas valve, main switch. Where the key hangs is "
        "not asked."
    ),
    "keep-free": (
        "Only for the places that are drawn for the customer. Kit that slides out is looked at again, not put right."
    ),
    "way-out": (
        "Not for light hung kit that is lifted over the rest, nor for what comes apart. Stairs and the way "
        "through the house beyond the drawn floor are not judged."
    ),
    "stand-up": "Not for hung kit, nor for what is low enough to be lifted upright.",
    "fitting-order": (
        "Not for light hung kit. Pipes between the pieces are not counted, so a pipe may still hold one in."
    ),
    "discharge": (
        "Only for unvented hot water, and for copper pipe: the table knows no other. A shared or a plastic pipe "
        "is a designer's own sum."
    ),
    "condensate": "Only for what condenses. What a condensate pump lifts, and traps inside the kit, are not judged.",
    "overflow": "Only for cisterns and tanks with a warning pipe. Whether somebody notices the drip is not judged.",
    "relief": "Only for sealed heating. The hot discharge of an unvented store has its own check.",
    "vessel": (
        "Not for the hot water's own vessel, nor for open-vented heating. Where the water in the system is not "
        "known, it is asked for."
    ),
    "floor-load": "Never a pass. It says how hard kit presses; what carries it is for a structural engineer.",
    "lifting": (
        "Not for what slides out on its feet. Stairs, twisting and a bad hold make every weight heavier, and are "
        "not counted."
    ),
    "wall-load": "Not for light kit. Fixings, old plaster and the state of the wall are not judged.",
    "wet-above-electrics": "Only for kit above kit. Pipes that are not drawn are not seen.",
    "keep-apart": "Only for the pairs in the rule pack. A gas pipe that is not drawn becomes a question.",
    "compartment-air": (
        "Only for what burns gas. Appliances that burn oil or solid fuel, and fans that draw air out, are not judged."
    ),
    "flue-terminal": (
        "Only for flues whose end is drawn. Flues through the roof, plumes and the neighbours' side are for a "
        "registered engineer."
    ),
    "kit-list": (
        "Only for the types of system that it knows. Sizes are not judged, nor is what belongs outside the room."
    ),
    "look-on-site": "It never passes: each answer is for somebody on site.",
}
