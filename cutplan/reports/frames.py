"""Plans as pandas tables, for those who go on from Python: orders, bars and cuts, one row each.

Column names carry the unit. Here alone a length or an amount is a float: the
exact whole numbers stay in Job and Plan.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from cutplan.model import Fate, Job, Plan, SourceKind
from cutplan.model.totals import Totals, bought_by_list, to_pay_by_list, totals_of
from cutplan.units import CURRENCY, DEGREE, KG, MM, Money

if TYPE_CHECKING:
    import pandas


_ORDER_COLUMNS = [
    "merchant",
    "section",
    "standard",
    "grade",
    "finish",
    "stock_length_mm",
    "lengths",
    "price_each",
    "money",
    "mass_kg",
]
_SHARE_COLUMNS = ["job", "parts", "parts_kg", "to_buy_kg", "lengths", "charges", "other_things", "to_pay"]
"""Said beside the rows, since a plan may order nothing, or be for one job."""


def frames(job: Job, plan: Plan) -> dict[str, pandas.DataFrame]:
    """The tables ``orders``, ``bars``, ``cuts`` and ``shares`` of a plan.

    Returns
    -------
    dict
        ``orders``: a row per order line. ``bars``: a row per bar, indexed by its number, with what is left over.
        ``cuts``: a row per part in cutting order, indexed by bar number; ``from_start_mm`` is the running dimension of
        its far end. ``shares``: a row per job of several planned together, by its name, with its parts, its share of
        the mass to buy and of the money, and of what is paid, tax and all; none of one job alone. Amounts are in the
        workshop's currency on the tax basis of the price list, missing where a group has no price.
    """
    import pandas as pd

    totals = totals_of(job, plan)
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
        for order in totals.orders
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
        "orders": pd.DataFrame(orders, columns=_ORDER_COLUMNS),
        "bars": pd.DataFrame(bars).set_index("bar"),
        "cuts": pd.DataFrame(cuts).set_index("bar"),
        "shares": pd.DataFrame(_shares(job, totals), columns=_SHARE_COLUMNS).set_index("job"),
    }


def _shares(job: Job, totals: Totals) -> list[tuple[str, int, float, float, float, float, float, float]]:
    pairs = zip(totals.lists, bought_by_list(job, totals), to_pay_by_list(totals), strict=True)
    return [
        (
            own.name,
            own.pieces,
            own.part_mass / KG,
            bought / KG,
            own.bars / CURRENCY,
            own.charges / CURRENCY,
            own.others_money / CURRENCY,
            to_pay / CURRENCY,
        )
        for own, bought, to_pay in pairs
    ]


def frames_of_all(
    answers: Mapping[str, tuple[Job, Plan]], days: Mapping[str, date] | None = None
) -> dict[str, pandas.DataFrame]:
    """The tables of several plans, each row led by the name of its job, and what they come to together.

    Parameters
    ----------
    answers
        By name, which is the first level of each index: a job and its plan.
    days
        By the same names, when a job is bought; they need not name all.

    Returns
    -------
    dict
        ``orders``, ``bars`` and ``cuts`` as :func:`frames` has them. ``steel``: by section what is bought and taken
        from the rack, what becomes parts, what is left over and kept, what is lost as kerf, trim, scrap and cuts to be
        carried, or may come short [m].
        ``weeks``: by week (ISO 8601, ``2031-W18``; blank for a job without a day), currency, merchant and section the
        lengths ordered, their money and mass.
    """
    import pandas as pd

    each = {name: frames(job, plan) for name, (job, plan) in answers.items()}
    tables = {
        table: pd.concat({name: of[table] for name, of in each.items()}, names=["job"])
        for table in ("orders", "bars", "cuts")
    }
    return tables | {
        "steel": _steel(tables["bars"], tables["orders"]),
        "weeks": _weeks(tables["orders"], answers, days or {}),
    }


def _steel(bars: pandas.DataFrame, orders: pandas.DataFrame) -> pandas.DataFrame:
    kept = bars["left_over"] == Fate.KEEP.value
    metres = {
        "from_rack_m": bars["length_mm"].where(bars["kind"] != SourceKind.BOUGHT.value, 0.0),
        "parts_m": bars["parts_mm"],
        "kept_m": bars["left_over_mm"].where(kept, 0.0),
    }
    steel = bars.assign(**metres).groupby("section", sort=False)[list(metres)].sum() / 1000
    # By the lengths that are paid for: pieces cut to be carried, and lengths that may come short, are counted shorter.
    bought = (orders["stock_length_mm"] * orders["lengths"]).groupby(orders["section"]).sum() / 1000
    steel.insert(0, "bought_m", bought.reindex(steel.index, fill_value=0.0).astype(float))
    steel["lost_m"] = steel["bought_m"] + steel["from_rack_m"] - steel["parts_m"] - steel["kept_m"]
    return steel


def _weeks(
    orders: pandas.DataFrame, answers: Mapping[str, tuple[Job, Plan]], days: Mapping[str, date]
) -> pandas.DataFrame:
    weeks = {name: f"{day.isocalendar().year}-W{day.isocalendar().week:02d}" for name, day in days.items()}
    names = orders.index.get_level_values("job")
    dated = orders.assign(
        week=[weeks.get(name, "") for name in names],
        currency=[answers[name][0].workshop.currency for name in names],
    )
    by_week = dated.groupby(["week", "currency", "merchant", "section"])[["lengths", "money", "mass_kg"]]
    # A price that is not known makes the sum unknown, not smaller.
    return by_week.agg({"lengths": "sum", "money": lambda money: money.sum(skipna=False), "mass_kg": "sum"})


def _amount(money: Money | None) -> float:
    return float("nan") if money is None else money / CURRENCY
