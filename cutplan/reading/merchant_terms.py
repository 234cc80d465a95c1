"""Terms of merchants in the workshop file that apply to nothing, or not as they may have been meant."""

from __future__ import annotations

from cutplan.problems import Problem, nearest
from cutplan.reading.lists.prices import PricesRead
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.workshop.workshop_file import WorkshopFile


def warn_of_terms(shop: WorkshopFile, prices: PricesRead, findings: Findings) -> None:
    """Warn of blocks of merchants that the price list does not name; of none where it names no merchant at all."""
    named = {name.casefold() for name in prices.merchants}
    for number, block in enumerate(shop.document.get("merchant", []), 1):
        name = block["name"].strip()
        if not named or name.casefold() in named:
            continue
        findings.warn(
            number,
            Problem(
                where=shop.places.get(f"merchant.{number}.name") or f'{shop.name}, merchant {number}, key "name"',
                found=name,
                accepted="a merchant of the price list, spelled as there: these terms apply to nothing on it",
                hint=nearest(name, sorted(prices.merchants)),
                code="merchant.unlisted",
            ),
        )
