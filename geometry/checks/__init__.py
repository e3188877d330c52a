"""Every check, in the order of the report. A check that is not in this list does not run.

What is a danger comes first, what is missing with it; then what is trapped or in the same place, then elbow room;
carrying and what is looked at on site are last.
"""

from geometry.check import Check
from geometry.checks import (
    body_overlap,
    compartment_air,
    condensate,
    discharge,
    door_swing,
    draw_out,
    emergency_reach,
    fitting_order,
    floor_load,
    flue_terminal,
    height_band,
    keep_apart,
    keep_free,
    kit_list,
    lifting,
    look_on_site,
    overflow,
    pipe_room,
    reach,
    relief,
    room_edge,
    service_space,
    sight,
    stand_up,
    tool_swing,
    vessel,
    walkway,
    wall_load,
    way_out,
    wet_above_electrics,
)

CHECKS: tuple[Check, ...] = (
    flue_terminal.CHECK,
    compartment_air.CHECK,
    discharge.CHECK,
    relief.CHECK,
    kit_list.CHECK,
    wet_above_electrics.CHECK,
    keep_apart.CHECK,
    condensate.CHECK,
    overflow.CHECK,
    vessel.CHECK,
    floor_load.CHECK,
    wall_load.CHECK,
    body_overlap.CHECK,
    room_edge.CHECK,
    way_out.CHECK,
    emergency_reach.CHECK,
    keep_free.CHECK,
    stand_up.CHECK,
    fitting_order.CHECK,
    service_space.CHECK,
    draw_out.CHECK,
    tool_swing.CHECK,
    pipe_room.CHECK,
    door_swing.CHECK,
    walkway.CHECK,
    reach.CHECK,
    sight.CHECK,
    height_band.CHECK,
    lifting.CHECK,
    look_on_site.CHECK,
)

ORDER: tuple[str, ...] = tuple(check.id for check in CHECKS)
