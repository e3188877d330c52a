"""What is said about the size of a discharge pipe, its own and the one it shares."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from geometry.check import TIGHT, Finding, Verdict, judge
from geometry.pipes.chain import Chain
from geometry.pipes.line import Route, outside_words
from geometry.pipes.run import Run
from geometry.pipes.topics import bore, called, out_name, pipe_where, say
from geometry.sums.discharge import DischargeSum, Tried, metres, shared_size
from geometry.words import listed, start

TABLE_ENDS = "No size in the table carries"


def size_finding(chain: Chain, run: Run, route: Route) -> Finding:
    """The size given, or the one that the length and the bends need, against the table."""
    the, where = called(chain), pipe_where(route, bore(run))
    if not run.copper and run.pipe:
        text = f"The discharge pipe of {the} is {run.pipe.material}; the table is for copper only."
        ask = "What does the maker of this pipe say that it carries at the temperature of the discharge?"
        return say(chain, "material", "not-checked", text, (run.outlet.id,), where=where, question=ask)
    if run.needs is None:
        port = chain.valves[0].size_mm
        text = f"The table has no relief valve with a {port:g} mm outlet, as {the} is drawn."
        ask = "Is the outlet of the relief valve G1/2 (15 mm), G3/4 (22 mm) or G1 (28 mm)?"
        return say(chain, "size", "not-checked", text, (run.outlet.id,), where=where, question=ask)
    if run.given_mm is None:
        return _size_needed(chain, run, run.needs)
    if run.given is None:
        return _odd_size(chain, run, run.needs, run.given_mm)
    return _size_given(chain, run, run.needs, run.given)


def _size_needed(chain: Chain, run: Run, needs: DischargeSum) -> Finding:
    the, last = called(chain), needs.tried[-1]
    if needs.size_mm is None:
        text = f"{TABLE_ENDS} the discharge of {the}: {_sum(run, last)}. Shorten it, or have it designed."
        return _judged(chain, run, last, text)
    return _judged(chain, run, last, f"The discharge pipe of {the} needs {last.size_mm} mm: {_sum(run, last)}.")


def _size_given(chain: Chain, run: Run, needs: DischargeSum, given: Tried) -> Finding:
    the, size = called(chain), given.size_mm
    if given.carries:
        return _judged(chain, run, given, f"{size} mm carries the discharge of {the}: {_sum(run, given)}.")
    larger = needs.tried[-1]
    cure = f"{TABLE_ENDS} it"
    if needs.size_mm is not None:
        total = metres(round(larger.equivalent_m, 2))
        cure = f"{needs.size_mm} mm would carry it: {total} m, at most {larger.limit_m:g} m"
    text = f"{size} mm is too small for the discharge of {the}: {_sum(run, given)}. {cure}."
    return _judged(chain, run, given, text)


def _judged(chain: Chain, run: Run, tried: Tried, text: str) -> Finding:
    assert isinstance(run.route, Route)
    margin = tried.limit_m - tried.equivalent_m
    verdict = judge(1000 * margin, chain.scene.room.tolerance_mm)
    tight = f" {TIGHT}" if verdict == "look-again" else ""
    return say(
        chain, "size", verdict, text + tight, (run.outlet.id,), needed=tried.limit_m, found=tried.equivalent_m,
        margin=margin, unit="m", where=pipe_where(run.route, bore(run)),
    )  # fmt: skip


def _odd_size(chain: Chain, run: Run, needs: DischargeSum, given_mm: float) -> Finding:
    """A size that the table has not for this valve: too small, larger than it asks for, or no copper size at all."""
    the, least = called(chain), needs.tried[0].size_mm
    assert isinstance(run.route, Route)
    where = pipe_where(run.route, bore(run))
    if given_mm < least:
        text = f"{given_mm:g} mm is too small for the discharge of {the}: at least {least} mm below the tundish."
        return say(
            chain, "size", "put-right", text, (run.outlet.id,), needed=least, found=given_mm, margin=given_mm - least,
            where=where,
        )  # fmt: skip
    if needs.size_mm is not None and given_mm in chain.pack.figure("discharge-sizes").value:
        text = f"{given_mm:g} mm carries the discharge of {the}, which needs {needs.size_mm} mm."
        return say(
            chain, "size", "no-fault", text, (run.outlet.id,), needed=needs.size_mm, found=given_mm,
            margin=given_mm - needs.size_mm, where=where,
        )  # fmt: skip
    text = f"The table does not say what {given_mm:g} mm carries from the relief valve of {the}."
    ask = "Is the size the outside diameter of copper pipe? If so, who has designed it?"
    return say(chain, "size", "not-checked", text, (run.outlet.id,), where=where, question=ask)


def _sum(run: Run, tried: Tried) -> str:
    """The sum as it is done on site: to the centimetre, or to the millimetre where that decides."""
    places = 2 if abs(tried.limit_m - tried.equivalent_m) > 0.02 else 3
    outside = outside_words(run.outlet.outside_run_mm, run.outlet.outside_bends)
    length, total = (metres(round(value, places)) for value in (run.length_m, tried.equivalent_m))
    text = f"{length} m + {run.bends} × {metres(tried.elbow_m)} m = {total} m, at most {tried.limit_m:g} m"
    return f"{text}; {outside}" if outside else text


def shared_findings(chains: Sequence[Chain]) -> Iterator[Finding]:
    """One finding for each outlet that several stores discharge to."""
    with_run = [(chain, chain.run) for chain in chains if chain.run]
    by_outlet = sorted(with_run, key=lambda pair: (pair[1].outlet.id, pair[0].store.id))
    for _, group in groupby(by_outlet, key=lambda pair: pair[1].outlet.id):
        together = list(group)
        if len(together) > 1:
            yield _shared(together)


def _shared(together: Sequence[tuple[Chain, Run]]) -> Finding:
    """The shared pipe is judged by the largest size given: it has to be larger than each store needs by itself."""
    (chain, run), pack = together[0], together[0][0].pack
    stores = listed([called(chain) for chain, _ in together])
    share = f"{start(stores)} share {out_name(chain, run.outlet)}"
    ask = f"How large is the pipe that {stores} share?"
    alone = [run.needs.size_mm for _, run in together if run.needs and run.needs.size_mm]
    needed = shared_size(alone, pack) if len(alone) == len(together) else None
    against, also = (run.outlet.id,), tuple(other.store.id for other, _ in together[1:])
    if needed is None:
        text = f"{share}, and the table does not say how large the shared pipe has to be."
        return say(chain, "shared", "not-checked", text, against, also=also, question=ask)
    verdict: Verdict
    given = [run.given_mm for _, run in together if run.given_mm]
    text = f"{share}: where their pipes join, at least {needed} mm, one size larger than {max(alone)} mm"
    if given and max(given) >= needed:
        text, verdict = f"{text}; {max(given):g} mm is drawn.", "no-fault"
    elif len(given) == len(together):
        text, verdict = f"{text}; {max(given):g} mm is the largest drawn.", "put-right"
    else:
        return say(chain, "shared", "not-checked", f"{text}.", against, also=also, needed=needed, question=ask)
    margin = max(given) - needed
    return say(chain, "shared", verdict, text, against, also=also, needed=needed, found=max(given), margin=margin)
