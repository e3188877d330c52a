"""Every check, in the order of the report. A check that is not in this list does not run."""

from geometry.check import Check
from geometry.checks import (
    body_overlap,
    draw_out,
    floor_load,
    look_on_site,
    room_edge,
    service_space,
)

CHECKS: tuple[Check, ...] = (
    body_overlap.CHECK,
    room_edge.CHECK,
    service_space.CHECK,
    draw_out.CHECK,
    floor_load.CHECK,
    look_on_site.CHECK,
)

ORDER: tuple[str, ...] = tuple(check.id for check in CHECKS)
