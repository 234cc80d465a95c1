"""What one of several jobs bears of a purchase made for all, in words."""

from __future__ import annotations

from cutplan.model import Workshop
from cutplan.model.totals import ListTotal, Totals
from cutplan.units import Mass, Money, counted, mass_text, money_text

RULE = (
    "Each job bears its share of every section by part length, and of deliveries, minimum orders made up and cuts "
    "made by merchants in proportion to that money; other things are its own."
)


KEPT_APART = "Keep the parts of each job apart as they leave the saw: their marks begin with its name."
SEVERAL = "Bars cut for several jobs"


def marks_line(name: str) -> str:
    """How parts are called where those of all jobs meet."""
    return f"On bars, labels and the sheets to cut from, marks of this job begin with {name}/."


def share_lines(
    own: ListTotal, to_pay: Money, bought: Mass, whole: Totals, shop: Workshop, *, known: bool
) -> list[str]:
    """What a job has of the parts and bears of the steel and the money.

    Parameters
    ----------
    to_pay, bought
        Its share of what is paid, tax and all, and of the mass to buy.
    known
        Whether what is bought has prices.
    """
    how = shop.printing
    mass = f"{counted(own.pieces, 'part')}, {mass_text(own.part_mass, how)}"
    if own.others_mass:
        mass += f", and other things of {mass_text(own.others_mass, how)}"
    lines = [f"{mass}. Its share of {mass_text(whole.bought_mass, how)} to buy: {mass_text(bought, how)}."]
    if known:
        amounts = [("lengths", own.bars), ("charges of merchants", own.charges), ("other things", own.others_money)]
        words = ", ".join(f"{name} {money_text(amount)}" for name, amount in amounts if amount) or "nothing"
        tax = ", tax included" if shop.tax_millionths else ""
        paid = f"{money_text(to_pay)} of {money_text(whole.money.to_pay)} to pay{tax}"
        lines.append(f"Its share of the money, in {shop.currency}: {words}; {paid}.")
    return lines
