"""One valid room file with every part of the format in it at least once, as plain values."""

from typing import Any

KIND: dict[str, Any] = {
    "key": "own-cylinder", "name": "Cylinder, 210 L", "group": "own", "plan": {"round_mm": 550}, "height_mm": 1580,
    "stands_on": "floor", "base_mm": 0, "dry_kg": 47, "water_l": 210, "traits": ["wet", "unvented-store"],
    "basis": "typical", "life_years": 22, "visits_a_year": 1, "note": "from the survey",
    "space": [{"side": "front", "mm": 450, "need": "must", "why": "the rod draws straight out", "from_mm": 0,
               "to_mm": 1200},
              {"side": "above", "mm": 300, "need": "should"}],
    "sticks_out": [{"side": "front", "mm": 110, "from_mm": 300, "to_mm": 420, "across_mm": [-60, 60], "what": "cap"},
                   {"side": "above", "mm": 40, "across_mm": [-30, 30], "along_mm": [-30, 30], "what": "valve"},
                   {"side": "left", "mm": 60, "what": "tail"}],
    "access": [{"name": "immersion heater", "at_mm": [0, -275, 360], "faces": "front", "tool": "boss-spanner",
                "swing": {"length_mm": 350, "turn_deg": 30, "axis": "out"},
                "draw_out": {"length_mm": 450, "round_mm": 60}, "must_be_seen": False, "emergency": False},
               {"name": "anode", "at_mm": [100, 0, 1600], "faces": "above",
                "draw_out": {"length_mm": 500, "round_mm": 30}}],
    "port": [{"name": "relief", "medium": "hot-discharge", "size_mm": 15, "at_mm": [0, -275, 1300], "faces": "front"}],
    "carry": {"ways": ["upright", "tip"], "round_mm": 550, "height_mm": 1580, "kg": 47, "lift_mm": 30},
}  # fmt: skip
MACHINE: dict[str, Any] = {
    "key": "own-machine", "name": "Machine", "plan": {"box_mm": [600, 580]}, "height_mm": 850, "dry_kg": 70,
    "leaf": [{"width_mm": 400, "thick_mm": 30, "hinge": "left", "from_mm": 300, "to_mm": 800, "needed_deg": 90}],
    "sticks_out": [{"side": "behind", "mm": 30, "from_mm": 500, "what": "hose"}],
}  # fmt: skip
CORNER: dict[str, Any] = {
    "key": "own-corner", "name": "Corner cupboard", "height_mm": 700, "stands_on": "wall", "base_mm": 1300,
    "plan": {"outline_mm": [[0, 0], [600, 0], [600, 300], [300, 300], [300, 600], [0, 600]]},
}  # fmt: skip
WHOLE: dict[str, Any] = {
    "format": "elbowroom-room", "format_version": 1,
    "name": "Boot room, Harbour Row", "notes": "Measured twice.\nDoor to be planed.", "rules": "england",
    "tolerance_mm": 10, "system": "unvented + sealed heating",
    "outline_mm": [[0, 0], [2400, 0], [2400, 1800], [0, 1800]],
    "ceiling": {
        "height_mm": 2400,
        "slopes": [{"name": "soffit", "area_mm": [[0, 0], [1900, 0], [1900, 900], [0, 900]],
                    "through_mm": [[0, 0, 2300], [1900, 0, 700], [0, 900, 2300]]}],
        "beams": [{"name": "beam", "area_mm": [[1500, 0], [1650, 0], [1650, 1800], [1500, 1800]], "soffit_mm": 1860}],
    },
    "walls": [{"edge": 0, "build": "brick", "thick_mm": 100, "outside": False}],
    "doors": [{"id": "d1", "edge": 0, "from_mm": 290, "clear_mm": 620, "head_mm": 1950, "sill_mm": 0,
               "leaf": {"kind": "hinged", "width_mm": 662, "thick_mm": 35, "hinge": "start", "opens": "out",
                        "needed_deg": 90},
               "beyond_mm": [[-2000, -1050], [3000, -1050], [3000, -100], [-2000, -100]], "planned": False}],
    "windows": [{"id": "w1", "edge": 1, "from_mm": 500, "width_mm": 600, "sill_mm": 1100, "head_mm": 2000}],
    "fixtures": [{"id": "f1", "name": "boxed soil stack", "area_mm": [[0, 1600], [200, 1600], [200, 1800], [0, 1800]],
                  "from_mm": 0, "to_mm": 2400}],
    "keep_free": [{"id": "k1", "name": "laundry basket", "area_mm": [[0, 0], [500, 0], [500, 500], [0, 500]],
                   "from_mm": 0, "to_mm": 900}],
    "outlets": [{"id": "o1", "name": "gully outside", "at_mm": [2400, 900], "level_mm": 150,
                 "takes": ["hot-discharge", "condensate", "overflow"], "ends": "low-level", "outside_run_mm": 400,
                 "outside_bends": 1, "above_ground_mm": 100, "plastic_gutter_mm": 4000}],
    "floor": {"storey": "ground", "build": "concrete", "allow_kn_m2": 20},
    "kit": [KIND, MACHINE, CORNER],
    "pieces": [
        {"id": "p1", "kit": "own-cylinder", "name": "Cylinder", "at_mm": [600, 1400], "turn_deg": 0, "base_mm": 0,
         "hold": "fixed", "pinned": True,
         "changes": {"height_mm": {"value": 1570, "basis": "manual", "note": "manual p. 9"},
                     "space_front_mm": {"value": 400, "basis": "measured"}},
         "accepted": [{"check": "service-space", "about": ["p1", "p2"], "by": "A. Fitter", "reason": "lid lifts off",
                       "on": "2026-11-25"}]},
        {"id": "p2", "kit": "own-machine", "at_mm": [1500, 1500], "turn_deg": 90, "hold": "movable"},
        {"id": "p3", "kit": "own-corner", "at_mm": [2100, 1500], "turn_deg": 180.5, "hold": "with-effort"},
        {"id": "p4", "kit": "wall-boiler-combination", "at_mm": [1200, 170], "turn_deg": 180},
    ],
    "pipes": [{"id": "pipe1", "medium": "hot-discharge", "from": {"piece": "p1", "port": "relief"}, "to": "o1",
               "via_mm": [[600, 1100, 1200], [2300, 900, 200]], "size_mm": 22, "material": "copper"}],
}  # fmt: skip
