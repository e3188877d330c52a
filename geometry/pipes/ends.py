"""What is said about the place where a discharge pipe ends."""

from collections.abc import Callable, Iterator

from geometry.check import TIGHT, Finding, judge, mm
from geometry.pipes.chain import Chain
from geometry.pipes.topics import at_outlet, out_name, say, the_pipe
from geometry.room import Outlet
from geometry.words import start

ABOVE_GROUND = "discharge-end-above-ground"
PLASTIC_GUTTER = "discharge-end-plastic-gutter"
STACK = "discharge-stack"


def ending(chain: Chain, outlet: Outlet) -> Iterator[Finding]:
    """One finding about the end of the pipe at this outlet."""
    yield _BY_PLACE.get(outlet.ends, _unknown)(chain, outlet)


def _gully(chain: Chain, outlet: Outlet) -> Finding:
    text = f"{_ends(chain, outlet)}: a trapped gully, below its grating and above its water."
    return say(chain, "end-place", "no-fault", text, (outlet.id,), where=at_outlet(outlet))


def _low(chain: Chain, outlet: Outlet) -> Finding:
    where, most = at_outlet(outlet), chain.pack.number(ABOVE_GROUND)
    found = outlet.above_ground_mm
    if found is None:
        text = f"{_ends(chain, outlet)}, low down, at a height that is not known."
        ask = f"How far above the ground does {the_pipe(chain)} end? At most {mm(most)}, with a guard round it."
        return say(chain, "end-place", "not-checked", text, (outlet.id,), needed=most, where=where, question=ask)
    verdict = judge(most - found, chain.scene.room.tolerance_mm)
    text = f"{_ends(chain, outlet)}, {mm(found)} above the ground; at most {mm(most)}, behind a guard."
    text += f" {TIGHT}" if verdict == "look-again" else ""
    return say(
        chain, "end-place", verdict, text, (outlet.id,), needed=most, found=found, margin=most - found, where=where,
    )  # fmt: skip


def _high(chain: Chain, outlet: Outlet) -> Finding:
    """Plastic too near is a matter of another end place or of metal: look again, as other places may serve as well."""
    where, least = at_outlet(outlet), chain.pack.number(PLASTIC_GUTTER)
    found, place = outlet.plastic_gutter_mm, "on a roof" if outlet.ends == "roof" else "in a hopper"
    if found is None:
        text = f"{_ends(chain, outlet)}, {place}; what the gutters are made of is not known."
        ask = f"How far is the nearest plastic gutter from the end of {the_pipe(chain)}? At least {mm(least)}."
        return say(
            chain, "end-place", "not-checked", text, (outlet.id,), needed=least, where=where,
            question=ask, figure=PLASTIC_GUTTER,
        )  # fmt: skip
    verdict = judge(found - least, chain.scene.room.tolerance_mm, "should")
    text = f"{_ends(chain, outlet)}, {place}, {mm(found)} from a plastic gutter; at least {mm(least)}"
    if found < least:
        text += ", or another end place"
    text += f". {TIGHT}" if found >= least and verdict == "look-again" else "."
    return say(
        chain, "end-place", verdict, text, (outlet.id,), needed=least, found=found, margin=found - least, where=where,
        figure=PLASTIC_GUTTER,
    )  # fmt: skip


def _stack(chain: Chain, outlet: Outlet) -> Finding:
    conditions = "; ".join(chain.pack.figure(STACK).value)
    text = f"{_ends(chain, outlet)}, a soil stack. That is so only where: {conditions}."
    return say(chain, "end-place", "look-again", text, (outlet.id,), where=at_outlet(outlet), figure=STACK)


def _soakaway(chain: Chain, outlet: Outlet) -> Finding:
    text = f"{_ends(chain, outlet)}, a soakaway, out of sight: a gully or a low end is usual."
    return say(chain, "end-place", "look-again", text, (outlet.id,), where=at_outlet(outlet))


def _unknown(chain: Chain, outlet: Outlet) -> Finding:
    text = f"Where {the_pipe(chain)} ends beyond {out_name(chain, outlet)} is not known."
    ask = f"What does {the_pipe(chain)} end over: a gully, the ground, a hopper, a roof, a stack?"
    return say(chain, "end-place", "not-checked", text, (outlet.id,), where=at_outlet(outlet), question=ask)


def _ends(chain: Chain, outlet: Outlet) -> str:
    return f"{start(the_pipe(chain))} ends at {out_name(chain, outlet)}"


_BY_PLACE: dict[str, Callable[[Chain, Outlet], Finding]] = {
    "gully": _gully, "low-level": _low, "roof": _high, "hopper": _high, "stack": _stack, "internal-stack": _stack,
    "soakaway": _soakaway,
}  # fmt: skip
