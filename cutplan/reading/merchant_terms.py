"""Terms of merchants: those that apply to nothing or contradict one another, and what forms say of their charges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeAlias

from cutplan.model import Brought, Merchant, Workshop
from cutplan.problems import Problem, nearest
from cutplan.reading.lists.merchant_charges import Charges, charge_text, charges_typed
from cutplan.reading.lists.prices import PricesRead
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.workshop.workshop_file import WorkshopFile

Block: TypeAlias = dict[str, bool | int | str]
"""Keys of a merchant's block in the workshop file, as typed."""


def with_charges(workshop: Workshop, charges: Sequence[Charges], findings: Findings) -> Workshop:
    """The workshop with the terms of its merchants as forms say them, which go before those of the workshop file.

    What a form says otherwise than the workshop file is warned of; what it leaves blank stays as it is.
    """
    terms = {each.name.casefold(): each for each in workshop.merchants}
    told: dict[tuple[str, str], Charges] = {}
    for each in charges:
        name = each.merchant.casefold()
        before = terms.get(name, Merchant(name=each.merchant))
        changed = []
        for word, value in each.said:
            first = told.setdefault((name, word), each)
            if dict(first.said)[word] != value:
                found = f"{charge_text(word, value, workshop)}, where {first.where} has another"
                findings.add_statement(0, each.where, found, "one figure for each merchant", code="merchant.twice")
            said = getattr(before, word)
            if first is each and said not in (value, getattr(_USUAL, word)):
                changed.append(f"{charge_text(word, value, workshop)} in place of {charge_text(word, said, workshop)}")
        if before.brought is Brought.DELIVERED and not dict(each.said).get("delivers", True):
            accepted = "what delivery costs, or another word than delivered under brought in the workshop file"
            found = f"no delivery from {each.merchant}, from whom all is to be delivered"
            findings.add_statement(0, each.where, found, accepted, code="merchant.brought")
            continue
        if changed:
            found = f"charges of {each.merchant} other than in the workshop file: {'; '.join(changed)}"
            accepted = "the same in both; what stands here is used"
            problem = Problem(
                where=each.where, found=found, accepted=accepted, found_is_text=False, code="merchant.otherwise"
            )
            findings.warn(0, problem)
        terms[name] = replace(before, **dict(each.said))  # type: ignore[arg-type]
    return replace(workshop, merchants=tuple(terms.values())) if charges else workshop


_USUAL = Merchant(name="any")


def shop_with(shop: WorkshopFile, charges: Sequence[Charges], findings: Findings) -> WorkshopFile:
    """The workshop file as it would be with the charges that forms say; see :func:`with_charges`."""
    workshop = with_charges(shop.workshop, charges, findings)
    if workshop is shop.workshop:
        return shop
    blocks = shop.document.get("merchant", [])
    if not isinstance(blocks, list) or not all(isinstance(block, dict) for block in blocks):
        return replace(shop, workshop=workshop)
    changes = blocks_with(blocks, charges, workshop)
    said = [{**block, **changed} for block, changed in zip([*blocks, *[{}] * len(changes)], changes, strict=False)]
    return replace(shop, workshop=workshop, document={**shop.document, "merchant": said})


def blocks_with(blocks: Sequence[Mapping[str, Any]], charges: Sequence[Charges], workshop: Workshop) -> list[Block]:
    """What changes in the blocks of merchants, by word, where charges are put into them; new ones stand behind."""
    names = [str(block.get("name", "")).casefold() for block in blocks]
    changes: list[Block] = [{} for _ in blocks]
    for each in charges:
        if each.merchant.casefold() not in names:
            names.append(each.merchant.casefold())
            changes.append({"name": each.merchant})
        changes[names.index(each.merchant.casefold())] |= charges_typed(each, workshop)
    return changes


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
