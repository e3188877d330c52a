"""Every check, in the order of the report. A check that is not in this list does not run."""

from geometry.check import Check
from geometry.checks import (
    body_overlap,
    discharge,
    door_swing,
    draw_out,
    floor_load,
    look_on_site,
    room_edge,
    service_space,
    tool_swing,
)

CHECKS: tuple[Check, ...] = (
    body_overlap.CHECK,
    room_edge.CHECK,
    service_space.CHECK,
    draw_out.CHECK,
    tool_swing.CHECK,
    door_swing.CHECK,
    discharge.CHECK,
    floor_load.CHECK,
    look_on_site.CHECK,
)

ORDER: tuple[str, ...] = tuple(check.id for check in CHECKS)
