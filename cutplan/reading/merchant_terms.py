"""Terms of merchants in the workshop file that apply to nothing, or contradict one another."""

from __future__ import annotations

from cutplan.problems import Problem, nearest
from cutplan.reading.lists.prices import PricesRead
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.workshop.workshop_file import WorkshopFile


def warn_of_terms(shop: WorkshopFile, prices: PricesRead, findings: Findings) -> None:
    """Warn of merchants that the price list does not name, where it names any, and of deliveries by who delivers none.

    The workshop file is one without problems: its merchants are then its blocks, in turn.
    """
    named = {name.casefold() for name in prices.merchants}
    for number, terms in enumerate(shop.workshop.merchants, 1):

        def place(word: str, number: int = number) -> str:
            return shop.places.get(f"merchant.{number}.{word}") or f'{shop.name}, merchant {number}, key "{word}"'

        if named and terms.name.casefold() not in named:
            findings.warn(
                number,
                Problem(
                    where=place("name"),
                    found=terms.name,
                    accepted="a merchant of the price list, spelled as there: these terms apply to nothing on it",
                    hint=nearest(terms.name, sorted(prices.merchants)),
                    code="merchant.unlisted",
                ),
            )
        charged = [word for word in ("delivery", "free_delivery_from") if getattr(terms, word)]
        if charged and not terms.delivers:
            findings.warn(
                number,
                Problem(
                    where=place(charged[0]),
                    found=f"{charged[0]} of {terms.name}, who is not said to deliver: an order is to be fetched",
                    accepted="delivers = true beside it, or neither delivery nor free_delivery_from",
                    hint="a delivery is charged all the same" if terms.delivery else "",
                    found_is_text=False,
                    code="merchant.delivery",
                ),
            )
