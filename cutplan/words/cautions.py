"""What is said where work can hurt: always, or where a job or a plan gives cause."""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.model import CutBar, Job, Offcut, Plan, SourceKind, StockLength, Workshop
from cutplan.units import KG, Length, Mass, Printing, length_text, mass_text
from cutplan.words.load_words import payload_notes
from cutplan.words.naming import names_text, numbers_text

LIFTING_FILTERS: tuple[Mass, ...] = (25 * KG, 16 * KG)
"""Filters for loads held close at knuckle height, not safe limits (HSE, manual handling, risk filters)."""

GENERAL_CAUTIONS = (
    "Clamp the work for every cut; never hand-hold it.",
    "Support the overhang on both sides of the saw, so that neither end drops or pinches the wheel.",
    "Use a wheel or blade rated for the saw and the steel, keep the guards on, clear away what can burn.",
    "This tool plans cuts. It does not check strength: sizes, welds and holes are the designer's to decide.",
    "Local codes and law, HSE, SafeWork or OSHA, the road authority and the saw's maker come before this sheet.",
)
"""Printed with every plan. Sawing: WorkSafe guidance as gathered at sitesafe.org.nz, wheels, disks and blades."""

ZINC = (
    "Zinc: grinding, hot cutting or welding galvanised steel gives off harmful fumes. "
    "Coat after welding, or strip the zinc first; draw the fumes off."
)

BATH = (
    "Closed hollow sections: in a bath of zinc, acid or paint what is shut in expands, and a part can burst. Every "
    "closed end needs holes to vent and drain; ask the coater where and how large before drilling."
)
"""Printed where hollow sections get a coat. ISO 14713-2 and the guides of galvanisers say it alike (from memory)."""


def cautions(job: Job, plan: Plan) -> tuple[str, ...]:
    """Cautions this plan triggers, then the general set."""
    return (*_triggered(job, plan), *GENERAL_CAUTIONS)


def _triggered(job: Job, plan: Plan) -> list[str]:
    shop = job.workshop
    how = shop.printing
    offers = {offer.id: offer for offer in job.offers}
    offcuts = {offcut.mark: offcut for offcut in job.offcuts}
    lines = []
    heavy = [(bar, mass) for bar in plan.bars if (mass := bar_mass(bar, offers, offcuts)) > shop.heavy]
    if heavy:
        bars = names_text([numbers_text([bar.number for bar, _ in heavy])])
        lines.append(
            f"Heavy: {_counted(heavy, 'bar')} {bars} above {mass_text(shop.heavy, how, 0)}, "
            f"the heaviest {mass_text(max(mass for _, mass in heavy), how)}. {lifting_text(how)}"
        )
    longest = _longest_fetched(shop, plan, offers) if shop.longest_carry else 0
    if longest > shop.longest_carry:
        lines.append(
            f"To be carried with a flag: what is longer than {length_text(shop.longest_carry, how)}, up to "
            f"{length_text(longest, how)}. How far a load may stand out, and how that is marked, is local law: ask the "
            "road authority."
        )
    lines += payload_notes(job, plan)
    for saw in shop.all_saws:
        short = [part.mark for part in job.parts if part.saw == saw.name and part.grip < saw.safe_hold]
        if short:
            on = f" on {saw.name}" if shop.saws else ""
            lines.append(
                f"Shorter than the shortest safe hold of {length_text(saw.safe_hold, how)}{on}: "
                f"{_counted(short, 'part')} {names_text(short)}. "
                "Keep to the order of cuts shown, hold the side it names, never the short part."
            )
    if any(is_zinc(part.finish) for part in job.parts):
        lines.append(ZINC)
    unknown = [bar for bar in plan.bars if bar.kind is SourceKind.OFFCUT and not offcuts[bar.source].grade]
    if unknown:
        marks = names_text(cut.mark for bar in unknown for cut in bar.cuts)
        lines.append(
            f"Grade unknown: {_counted(unknown, 'offcut')} {names_text(bar.source for bar in unknown)}, "
            f"to be cut into parts whose grade is not specified: {marks}. "
            "The designer decides whether they will do."
        )
    turned = [bar.number for bar in plan.bars if any(cut.turn for cut in bar.cuts)]
    if turned:
        lines.append(
            f"TURN THE BAR: on {_counted(turned, 'bar')} {numbers_text(turned)} the last cut is held on the "
            "part side: turn what is left of the bar end for end in the vice before it."
        )
    return lines


def _longest_fetched(shop: Workshop, plan: Plan, offers: dict[str, StockLength]) -> Length:
    """The longest piece that is bought and not delivered; 0 where there is none. [nm]"""
    return max(
        (
            bar.piece_of.ordered[bar.piece_of.number - 1] if bar.piece_of else offers[bar.source].length
            for bar in plan.bars
            if bar.kind is SourceKind.BOUGHT and not shop.merchant(offers[bar.source].merchant).delivers
        ),
        default=0,
    )


def lifting_text(how: Printing) -> str:
    """What there is to say of a heavy bar; no weight is called safe."""
    filters = [f"{mass // KG} kg" for mass in LIFTING_FILTERS]
    if how.mass_unit != "kg":
        filters = [f"{text} ({mass_text(mass, how, 0)})" for text, mass in zip(filters, LIFTING_FILTERS, strict=True)]
    return (
        f"The law sets no weight limit; {' and '.join(filters)} are filters for loads held close to the body at "
        "knuckle height, not safe limits (HSE, manual handling risk filters)."
    )


def _counted(members: Sequence[object], noun: str) -> str:
    """A noun for one or for more."""
    return noun if len(members) == 1 else f"{noun}s"


def is_zinc(finish: str) -> bool:
    """Is it coated with zinc?"""
    return any(word in finish.lower() for word in ("galv", "zinc"))


def bar_mass(bar: CutBar, offers: dict[str, StockLength], offcuts: dict[str, Offcut]) -> Mass:
    """What a whole bar weighs before it is cut: the nominal length of one bought. [mg]"""
    if bar.piece_of is not None:
        return offers[bar.source].section.mass_of(bar.piece_of.ordered[bar.piece_of.number - 1])
    if bar.kind is SourceKind.BOUGHT:
        return offers[bar.source].mass
    offcut = offcuts[bar.source]
    return offcut.section.mass_of(offcut.length)


def unknown_grade_text(marks: str = "") -> str:
    """Of a bar whose grade is not known; ``marks`` are those cut from it, where there is room for them."""
    return f"Grade unknown: the designer decides whether it will do{f' for {marks}' if marks else ''}."
