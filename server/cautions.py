"""The usual cautions, short: one list for the report, the customer page, the help page and the command line."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Caution:
    """One caution: what it is about, and what to mind."""

    about: str
    text: str


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "What this is",
        "An aid to arranging a room. It checks room to work and a few sums, and it judges no gas, electrical,"
        " water, structural, fire or combustion work.",
    ),
    Caution(
        "Figures",
        "The maker's manual and the current regulations win over every figure here. A typical size is not the size of"
        " the thing on the van. Measure again before ordering and before setting out.",
    ),
    Caution(
        "Gas and flues",
        "Only a registered gas engineer may fit, move, service or commission. Flues, gas pipe sizes and air for"
        " burning are not checked. Smell gas: valve off, windows open, no switches, call the emergency line.",
    ),
    Caution(
        "Carbon monoxide",
        "Fit an alarm where the rules ask for one. An alarm does not take the place of servicing.",
    ),
    Caution(
        "Unvented hot water",
        "Only for a person qualified in it. Never cap, plug or hide a relief valve or its discharge pipe; what comes"
        " out can be near boiling.",
    ),
    Caution(
        "Scald",
        "Hot water stored above 60 °C scalds in seconds. Outlets may need blending, first of all for children and"
        " older people.",
    ),
    Caution(
        "Electricity",
        "Circuits, bonding, isolation and testing belong to a competent electrician. Keep electrics out from under"
        " water joints.",
    ),
    Caution(
        "Water",
        "Backflow protection, notice to the water company and drinking-water quality follow the water rules. Sizes and"
        " temperatures that keep legionella down need a competent person.",
    ),
    Caution(
        "Weight",
        "A full cylinder weighs hundreds of kilograms. Plan each lift, empty it first, use aids, and mind stairs and"
        " fingers.",
    ),
    Caution(
        "Structure",
        "A floor or wall figure here is a question for a structural engineer, never a pass. Find pipes, cables and"
        " studs before drilling.",
    ),
    Caution(
        "Asbestos",
        "Old cupboards, boards, flues and boiler parts may hold it. Stop, and have it looked at before you drill or"
        " strip.",
    ),
    Caution(
        "Escape and storage",
        "Keep ways out clear. Store nothing against boilers, flues, vents, meters, batteries or relief outlets.",
    ),
    Caution(
        "Not yours to move",
        "Meters, service heads and supply stop taps belong to others.",
    ),
)

NO_FAULT_FOUND = (
    "“No fault found” means no fault found in these checks, with the measures given."
    " It does not mean that there is none."
)

IN_ONE_LINE = (
    "An aid to arranging, for people who measure again on site. Gas, flues, unvented hot water, electricity, scald,"
    " weight and structure need their own competent person, the maker's manual and the current regulations."
)
