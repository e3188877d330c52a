"""What is said of carbon monoxide alarms: how far from each appliance, how far from ceiling and walls."""

from collections.abc import Iterator

import shapely

from geometry.ceilings import lowest_over
from geometry.check import TIGHT, Finding, Where, judge, mm
from geometry.clearing import first_met, side_probe
from geometry.rules import Figure
from geometry.scene import Placed, Scene
from geometry.shapes import Footprint, separation
from geometry.units import whole_mm
from geometry.words import start, the


def alarms(scene: Scene, check: str) -> Iterator[Finding]:
    """One finding for each appliance that burns, and one for the place of each alarm."""
    every = [placed for placed in scene.placed if placed.kit.has("alarm")]
    for burner in (placed for placed in scene.placed if burns(placed)):
        yield _near(scene, check, burner, every)
    for alarm in every:
        yield _on_ceiling(scene, check, alarm) if _is_on_ceiling(scene, alarm) else _on_wall(scene, check, alarm)


def burns(placed: Placed) -> bool:
    """Whether a piece burns something and so asks for an alarm."""
    return placed.kit.has("hot") and any(placed.kit.has(fuel) for fuel in ("gas", "oil", "solid-fuel"))


def _near(scene: Scene, check: str, burner: Placed, every: list[Placed]) -> Finding:
    ring, name = scene.pack.figure("alarm-ring"), the(burner.name)
    if not every:
        return Finding(
            check, "not-checked", f"No alarm is drawn for {name}.", (burner.id,), topic="alarm-ring",
            source=ring.source, question=f"Where is the carbon monoxide alarm for {name}?",
        )  # fmt: skip
    near, far = scene.pack.range("alarm-ring")
    found, alarm = min(((across_mm(alarm, burner), alarm) for alarm in every), key=lambda pair: _off(pair, near, far))
    short = max(near - found, found - far, 0.0)
    verdict = judge(min(found - near, far - found), scene.room.tolerance_mm)
    text = (
        f"{start(the(alarm.name))} is {mm(found)} from {name}, measured across; "
        f"{whole_mm(near):,} to {whole_mm(far):,} mm is asked for."
    )
    tight = f" {TIGHT}" if verdict == "look-again" else ""
    return Finding(
        check, verdict, text + tight, (alarm.id, burner.id), topic="alarm-ring", needed=far if found > far else near,
        found=found, short=short, source=ring.source, basis=alarm.kit.basis, where=_place(alarm),
        title="" if verdict == "no-fault" else f"{start(the(alarm.name))} is too {'far' if found > far else 'near'}",
    )  # fmt: skip


def _off(pair: tuple[float, Placed], near: float, far: float) -> tuple[float, str]:
    return max(near - pair[0], pair[0] - far, 0.0), pair[1].id


def across_mm(alarm: Placed, other: Placed) -> float:
    """Distance in plan from the middle of an alarm to the body of another piece."""
    middle = Footprint((alarm.body[0].centre,))
    return min(max(0.0, separation(middle, part).gap_mm) for part in other.body)


def _is_on_ceiling(scene: Scene, alarm: Placed) -> bool:
    """An alarm with no wall at its back is on the ceiling."""
    if alarm.kit.stands_on == "ceiling":
        return True
    ((met, _),) = first_met(scene, [side_probe(alarm, "behind")], building_only=True)
    return met is None or met.found_mm > scene.pack.number("hang-stand-off")


def _on_wall(scene: Scene, check: str, alarm: Placed) -> Finding:
    figure, name = scene.pack.figure("alarm-below-ceiling"), the(alarm.name)
    lows = [low for part in alarm.body if (low := lowest_over(scene.roof, part))]
    if not lows:
        return Finding(
            check, "not-checked", f"The ceiling over {name} is not measured.", (alarm.id,), topic="alarm-ceiling",
            source=figure.source, question=f"How high is the ceiling where {name} hangs?",
        )  # fmt: skip
    low = min(lows, key=lambda low: low.height_mm)
    found = low.height_mm - alarm.top_mm
    return _placed(scene, check, alarm, figure, found, f"hangs {mm(found)} below the {low.name}", "alarm-ceiling")


def _on_ceiling(scene: Scene, check: str, alarm: Placed) -> Finding:
    walls = scene.floor.exterior
    cores = [(shapely.MultiPoint(part.points).convex_hull, part.radius_mm) for part in alarm.body]
    found = min(max(0.0, float(core.distance(walls)) - radius) for core, radius in cores)
    told = f"is {mm(found)} from the nearest wall"
    return _placed(scene, check, alarm, scene.pack.figure("alarm-from-walls"), found, told, "alarm-walls")


def _placed(scene: Scene, check: str, alarm: Placed, figure: Figure, found: float, told: str, topic: str) -> Finding:
    needed, name = float(figure.value), the(alarm.name)
    verdict = judge(found - needed, scene.room.tolerance_mm)
    on = "on a wall" if topic == "alarm-ceiling" else "on a ceiling"
    text = f"{start(name)} {told}; {mm(needed)} at least is asked for {on}."
    tight = f" {TIGHT}" if verdict == "look-again" else ""
    return Finding(
        check, verdict, text + tight, (alarm.id,), topic=topic,
        needed=needed, found=found, short=max(0.0, needed - found), source=figure.source, basis=alarm.kit.basis,
        title="" if verdict == "no-fault" else f"{start(alarm.name)} is in dead air", where=_place(alarm),
    )  # fmt: skip


def _place(alarm: Placed) -> Where:
    return Where(alarm.body[0], alarm.base_mm, alarm.top_mm)
