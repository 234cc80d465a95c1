"""The same job under other circumstances: what a comparison plans next to it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from cutplan.model import Brought, Job, Merchant, StockLength, bar_price
from cutplan.problems import Problem, Refused, nearest
from cutplan.sections.section import Family
from cutplan.units import Length, length_text, stock_text


@dataclass(frozen=True)
class Change:
    """A change in words, and the job as it then is; ``warnings`` are of a list that came with the change."""

    words: str
    job: Job
    warnings: tuple[Problem, ...] = ()


def other_kerf(job: Job, kerf: Length, named: str = "") -> Change:
    """A saw of another kerf, by its name where there are several. [nm]

    Raises
    ------
    Refused
        When the end trim, which includes its cut, would be less than that kerf.
    """
    how = job.workshop.printing
    trims = [saw.end_trim for saw in job.workshop.all_saws if named in ("", saw.name) and saw.end_trim_includes_cut]
    least = min(filter(None, trims), default=kerf)
    if least < kerf:
        raise Refused(
            length_text(kerf, how.fine),
            f"a kerf of at most {length_text(least, how.fine)}, the end trim that includes it",
            code="kerf.trim",
        )
    saws = [replace(saw, kerf=kerf) if named in ("", saw.name) else saw for saw in job.workshop.all_saws]
    words = f"a kerf of {length_text(kerf, how.fine)}" + (f" on {named}" if named else "")
    return Change(words, replace(job, workshop=job.workshop.with_saws(saws)))


def other_keep(job: Job, keep: Length) -> Change:
    """Left overs kept from another length on, in every family. [nm]"""
    shop = replace(job.workshop, keep=tuple((family, keep) for family in Family))
    return Change(f"left overs kept from {length_text(keep, job.workshop.printing)} on", replace(job, workshop=shop))


def other_price(job: Job, row: int, price: Fraction, typed: str) -> Change:
    """An offer at another price, for what its price is per.

    Parameters
    ----------
    row
        Of the price list, as a spreadsheet numbers it.
    price
        On the tax basis of the workshop's prices, in the currency.
    typed
        The price in words.

    Raises
    ------
    Refused
        When no offer stands in that row.
    """
    offer = next((each for each in job.offers if each.id == f"#{row}"), None)
    if offer is None:
        raise Refused(f"{row}", "a row of the price list that is an offer", code="price.row")
    length = length_text(offer.length, job.workshop.printing)
    changed = replace(offer, typed_price=typed, bar_price=bar_price(price, offer.basis, offer.length, offer.section))
    seller = f" from {offer.merchant}" if offer.merchant else ""
    words = f"{offer.section.designation} of {length}{seller} at {typed} {offer.basis.value}"
    return Change(words, replace(job, offers=tuple(changed if each is offer else each for each in job.offers)))


def without_merchant(job: Job, name: str) -> Change:
    """Nothing bought from one merchant.

    Raises
    ------
    Refused
        When no offer is from a merchant of that name.
    """
    merchant = _merchant(job, name)
    kept = tuple(offer for offer in job.offers if offer.merchant != merchant)
    return Change(f"nothing from {merchant}", replace(job, offers=kept))


def _merchant(job: Job, name: str) -> str:
    """A merchant's name as the price list has it, whatever its case."""
    known = {offer.merchant.casefold(): offer.merchant for offer in job.offers if offer.merchant}
    merchant = known.get(name.strip().casefold())
    if merchant is None:
        names = sorted(known.values())
        accepted = f"a merchant on the price list: {', '.join(names)}" if names else "a price list that names merchants"
        raise Refused(name, accepted, nearest(name, names), code="merchant.unknown")
    return merchant


def other_carry(job: Job, carry: Length) -> Change:
    """Another longest carry, with no flag that lets longer pieces pass. [nm]"""
    shop = replace(job.workshop, longest_carry=carry, longest_flagged=0)
    return Change(
        f"nothing longer than {stock_text(carry, job.workshop.printing)} carried", replace(job, workshop=shop)
    )


def delivered_by(job: Job, name: str) -> Change:
    """A merchant who delivers, for the delivery that the workshop file names.

    Raises
    ------
    Refused
        When no offer is from a merchant of that name.
    """
    merchant = _merchant(job, name)
    said = job.workshop.merchant(merchant)
    terms = replace(said, delivers=True, brought=Brought.DELIVERED)
    free = "" if said.delivers or said.delivery else ", no charge for it said"
    return Change(f"all from {merchant} delivered{free}", _with_terms(job, terms))


def fetched_from(job: Job, name: str) -> Change:
    """A merchant whose lengths are fetched, for no delivery, as far as they can be carried.

    Raises
    ------
    Refused
        When no offer is from a merchant of that name.
    """
    merchant = _merchant(job, name)
    terms = job.workshop.merchant(merchant)
    terms = replace(terms, delivers=False, delivery=0, free_delivery_from=0, brought=Brought.FETCHED)
    return Change(f"all from {merchant} fetched", _with_terms(job, terms))


def _with_terms(job: Job, terms: Merchant) -> Job:
    others = [each for each in job.workshop.merchants if each.name != terms.name]
    return replace(job, workshop=replace(job.workshop, merchants=(*others, terms)))


def without_rack(job: Job) -> Change:
    """The rack ignored."""
    return Change("the rack ignored", replace(job, offcuts=()))


def without_shared_mitres(job: Job) -> Change:
    """Every mitre cut for itself.

    Raises
    ------
    Refused
        When the workshop's mitres share no cuts as it is.
    """
    saws = job.workshop.all_saws
    if not any(saw.share_mitres for saw in saws):
        accepted = "a workshop whose mitres share cuts, without saw.share_mitres = false in its file"
        raise Refused("a workshop whose mitres share no cuts", accepted, code="mitres.apart")
    shop = job.workshop.with_saws([replace(saw, share_mitres=False) for saw in saws])
    return Change("no cuts shared by mitres", replace(job, workshop=shop))


def with_offers(job: Job, offers: Sequence[StockLength], source: str) -> Change:
    """Further offers on top of those of the price list, such as another stock length.

    Ids that are taken get a letter in front, so that they stay unique.
    """
    taken = {offer.id for offer in job.offers}
    added = []
    for offer in offers:
        id = offer.id
        while id in taken:
            id = f"N{id}"
        taken.add(id)
        added.append(replace(offer, id=id))
    return Change(f"the offers of {source} too", replace(job, offers=(*job.offers, *added)))


MOST_COMBINED = 4
"""Up to so many quotes are planned with in every combination; more of them alone and by two."""


def quoted(job: Job) -> tuple[Change, ...]:
    """Each quote of a job alone, fetched and delivered where it may be either, and combinations of them.

    The id of an offer begins with the place of its quote, as :func:`cutplan.reading.read_job` gives it. All of them
    together are the job as it is.
    """
    quotes: dict[str, list[StockLength]] = {}
    for offer in job.offers:
        place, sign, _ = offer.id.partition("#")
        if sign and place:
            quotes.setdefault(place, []).append(offer)
    names = {place: _names(offers) for place, offers in quotes.items()}
    if len(set(names.values())) < len(names):
        names = {place: f"{name}, quote {place}" for place, name in names.items()}
    changes = []
    sizes = range(1, len(quotes) if len(quotes) <= MOST_COMBINED else 3)
    for size in sizes if len(quotes) > 1 else [1]:
        for chosen in combinations(quotes, size):
            words = " and ".join(names[place] for place in chosen) + (" alone" if size == 1 else "")
            taken = replace(job, offers=tuple(offer for place in chosen for offer in quotes[place]))
            changes.append(Change(words, taken))
            if size == 1:
                changes += _other_ways(words, taken)
    return tuple(changes)


def _names(offers: Sequence[StockLength]) -> str:
    return " and ".join(dict.fromkeys(offer.merchant or "no merchant named" for offer in offers))


def _other_ways(words: str, job: Job) -> list[Change]:
    """The same fetched and delivered, where one of its merchants delivers or the workshop file says what that costs."""
    merchants = list(dict.fromkeys(offer.merchant for offer in job.offers if offer.merchant))
    terms = [job.workshop.merchant(name) for name in merchants]
    if not any(each.delivers or each.delivery for each in terms):
        return []
    return [
        Change(f"{words}, fetched", _all(job, merchants, fetched_from)),
        Change(f"{words}, delivered", _all(job, merchants, delivered_by)),
    ]


def _all(job: Job, merchants: Sequence[str], way: Callable[[Job, str], Change]) -> Job:
    for name in merchants:
        job = way(job, name).job
    return job


def usual_changes(job: Job) -> tuple[Change, ...]:
    """What is worth asking when nothing is asked for: the rack ignored, and each merchant left out in turn."""
    changes = [without_rack(job)] if job.offcuts else []
    merchants = sorted({offer.merchant for offer in job.offers if offer.merchant})
    if len(merchants) > 1:
        changes += [without_merchant(job, name) for name in merchants]
    return tuple(changes)
