"""A plan as pandas tables, for those who go on from Python: orders, bars and cuts, one row each.

Column names carry the unit. Here alone a length or an amount is a float: the
exact whole numbers stay in Job and Plan.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from cutplan.model import Job, Plan, SourceKind
from cutplan.model.totals import totals_of
from cutplan.units import CURRENCY, DEGREE, KG, MM, Money

if TYPE_CHECKING:
    import pandas


def frames(job: Job, plan: Plan) -> dict[str, pandas.DataFrame]:
    """The tables ``orders``, ``bars`` and ``cuts`` of a plan.

    Returns
    -------
    dict
        ``orders``: a row per order line. ``bars``: a row per bar, indexed by its number, with what is left over.
        ``cuts``: a row per part in cutting order, indexed by bar number; ``from_start_mm`` is the running dimension of
        its far end. Amounts are in the workshop's currency on the tax basis of the price list, missing where a group
        has no price.
    """
    import pandas as pd

    offers = {offer.id: offer.section for offer in job.offers}
    offcuts = {offcut.mark: offcut.section for offcut in job.offcuts}
    parts = {part.mark: part for part in job.parts}
    orders = [
        {
            "merchant": line.merchant,
            "section": line.section.designation,
            "standard": line.section.standard,
            "grade": line.grade,
            "finish": line.finish,
            "stock_length_mm": line.length / MM,
            "lengths": line.count,
            "price_each": _amount(line.price_each),
            "money": _amount(line.money),
            "mass_kg": line.mass / KG,
        }
        for order in totals_of(job, plan).orders
        for line in order.lines
    ]
    bars, cuts = [], []
    for group in plan.groups:
        for bar in group.bars:
            section = (offers if bar.kind is SourceKind.BOUGHT else offcuts)[bar.source]
            bars.append(
                {
                    "bar": bar.number,
                    "section": section.designation,
                    "group": group.title,
                    "kind": bar.kind.value,
                    "source": bar.source,
                    "length_mm": bar.length / MM,
                    "parts_mm": sum(cut.end - cut.start for cut in bar.cuts) / MM,
                    "slack_mm": bar.slack / MM,
                    "left_over_mm": bar.drop.length / MM,
                    "left_over": bar.drop.fate.value,
                }
            )
            for cut in bar.cuts:
                cuts.append(
                    {
                        "bar": bar.number,
                        "mark": cut.mark,
                        "copy": cut.copy,
                        "assembly": parts[cut.mark].assembly,
                        "length_mm": (cut.end - cut.start) / MM,
                        "finished_mm": parts[cut.mark].finished / MM,
                        "from_start_mm": cut.end / MM,
                        "angle_a_deg": cut.angle_a / DEGREE,
                        "angle_b_deg": cut.angle_b / DEGREE,
                    }
                )
    return {
        "orders": pd.DataFrame(orders),
        "bars": pd.DataFrame(bars).set_index("bar"),
        "cuts": pd.DataFrame(cuts).set_index("bar"),
    }


def _amount(money: Money | None) -> float:
    return float("nan") if money is None else money / CURRENCY
