"""What a metre of kept offcut may be worth: less than what would make a plan buy steel to lay it on the rack."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from cutplan.model import StockLength, Workshop, serves
from cutplan.reading.crosscheck import bars_of
from cutplan.reading.lists.parts import PartsRead
from cutplan.reading.lists.prices import PricesRead
from cutplan.reading.lists.rack_list import RackRead
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.workshop.workshop_file import WorkshopFile
from cutplan.reading.workshop.workshop_keys import FAMILY_KEYS
from cutplan.units import MM, Length, ceil_div


def check_offcut_value(parts: PartsRead, prices: PricesRead, shop: WorkshopFile, findings: Findings) -> None:
    """Refuse an offcut value at which it would pay to buy more than is needed.

    Of all bars on sale that a part could be cut from, per mm it stays below the price of each over its length and,
    where the longer of two is dearer, below the difference of their prices over that of their lengths. What is left of
    an offcut never counts for more than its book value, so that offcuts are no reason to refuse anything. Of all bars
    of a family those are named that leave the least room, so that what is said to be accepted is.
    """
    valued = {family: word for word, family in FAMILY_KEYS.items() if shop.workshop.offcut_value(family)}
    if not valued:
        return
    tightest: dict[str, tuple[int, StockLength | None, StockLength]] = {}
    for offers in _competing(parts, prices, shop.workshop):
        family = offers[0].section.family
        if word := valued.get(family):
            # Beyond what another group of the family refuses already, only less is news.
            most = tightest[word][0] if word in tightest else shop.workshop.offcut_value(family)
            while pair := _overpaid(offers, most):
                money, length = _apart(*pair)
                most = ceil_div(money * MM, length) - 1
                tightest[word] = (most, *pair)
    for word, (_, less, dear) in tightest.items():
        if less is None:
            why = f"at which buying a bar only for its offcut would pay: row {dear.row} of the price list"
            of = "this price over the length of the bar"
        else:
            why = (
                "at which buying the longer of two bars only for its offcut would pay: "
                f"rows {less.row} and {dear.row} of the price list"
            )
            of = "the difference of these two prices over that of their lengths"
        rate = shop.workshop.offcut_value(FAMILY_KEYS[word])
        per_m = f"{rate / 1000:f}".rstrip("0").rstrip(".")
        findings.add_statement(
            0,
            shop.key(f"offcut_value_per_m.{word}"),
            f"{per_m} a metre, {why}",
            f"less than {_per_metre(*_apart(less, dear))} a metre, {of}",
            code="workshop.offcut_value",
        )


def _competing(parts: PartsRead, prices: PricesRead, workshop: Workshop) -> Iterator[list[StockLength]]:
    """For each grade wanted of a section and finish, the offers that its shortest part could be cut from.

    Not where a price is missing: such a group is planned by mass, and no left over has a value there.
    """
    shortest: dict[tuple[str, str], dict[tuple[str, ...], Length]] = defaultdict(dict)
    for line in parts.lines:
        of_key, need = shortest[line.material.key], line.part.length
        of_key[line.part.grades] = min(need, of_key.get(line.part.grades, need))
    offers: dict[tuple[str, str], list[StockLength]] = defaultdict(list)
    for offer in prices.offers:
        offers[offer.section.key, offer.finish].append(offer)
    gives = {id(bar.source): bar.gives for bar in bars_of(prices, RackRead(), workshop) if bar.carried}
    for key, of_key in shortest.items():
        for grades, need in of_key.items():
            of_group = [offer for offer in offers[key] if serves(offer.grade, () if () in of_key else grades)]
            if all(offer.bar_price is not None for offer in of_group):
                found = [o for o in of_group if serves(o.grade, grades) and gives.get(id(o), -1) >= need]
                if found:
                    yield found


def _apart(less: StockLength | None, dear: StockLength) -> tuple[int, Length]:
    """By how much one offer is dearer and longer than another, or than buying nothing."""
    if less is None:
        return dear.bar_price or 0, dear.counted
    return (dear.bar_price or 0) - (less.bar_price or 0), dear.counted - less.counted


def _per_metre(money: int, length: int) -> str:
    """Money over length as an amount a metre, rounded down to a thousandth."""
    thousandths = money * MM // length
    return f"{thousandths // 1000}.{thousandths % 1000:03d}"


def _overpaid(offers: Iterable[StockLength], rate: int) -> tuple[StockLength | None, StockLength] | None:
    """Two offers of which the longer is bought for its offcut alone; None in place of the first is buying nothing.

    With q = price - rate x length, such a pair is one where a dearer bar has no higher q; sorted by price, a running
    highest q finds it in one pass, which begins with nothing: no length for no price.
    """
    by_price: dict[int, list[StockLength]] = defaultdict(list)
    for offer in offers:
        by_price[offer.bar_price or 0].append(offer)
    highest: StockLength | None = None

    def worth(offer: StockLength | None) -> int:
        return (offer.bar_price or 0) * MM - rate * offer.counted if offer else 0

    for price in sorted(by_price):
        for offer in by_price[price]:
            if price and worth(offer) <= worth(highest):
                return highest, offer
        highest = max((highest, *by_price[price]), key=worth)
    return None
