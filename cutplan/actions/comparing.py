"""What a change of the job would cost or save."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.planning import TIME_LIMIT, plan, plan_into, write_plan
from cutplan.actions.typed_values import kerf_of_saw
from cutplan.problems import Problem, ProblemsFound, Refused

PRICE_FORMS = "a row of the price list, a colon and a price, such as 12: 35.40"

if TYPE_CHECKING:
    from cutplan.model import Job, Plan
    from cutplan.planning.scenarios import Change
    from cutplan.words.comparison_words import Compared


def compare(
    job: Job,
    *,
    kerf: str | None = None,
    keep: str | None = None,
    carry: Sequence[str] = (),
    price: Sequence[str] = (),
    without: Sequence[str] = (),
    delivered: Sequence[str] = (),
    fetched: Sequence[str] = (),
    no_rack: bool = False,
    no_shared_mitres: bool = False,
    also: Path | str | None = None,
    quoted: bool = False,
    one_by_one: bool = False,
    folder: Path | str | None = None,
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
) -> tuple[Compared, ...]:
    """Plan a job as it is and once more under each change, and set what they come to side by side.

    Parameters
    ----------
    kerf, keep, carry
        Another kerf; another length from which left overs are kept; other longest carries, each by itself; in the
        notation of the workshop.
    price
        Offers at another price, each by itself: a row of the price list, a colon and the price, such as ``12: 35.40``.
    without, delivered, fetched
        Merchants to leave out, to have deliver, to fetch from, each by itself.
    no_rack
        Ignore the rack.
    no_shared_mitres
        Cut every mitre for itself.
    also
        A further price list, for another stock length or another merchant.
    quoted
        The job was read with ``quotes``: each of them alone, fetched and delivered, and combinations of them; all
        together are the job as it is.
    one_by_one
        Plan and buy each list of the job by itself, in their order, from what those before it left on the rack.
    folder
        Where each row's plan is written, in a folder of its own numbered from 0; not written when not said.
    time_limit
        Seconds for each plan.

    With no change named: the rack ignored, and each merchant left out in turn.

    Returns
    -------
    tuple of Compared
        The first is the job as it is. Those after a stop by the user are left out.

    Raises
    ------
    ProblemsFound
        When a change cannot be understood.
    NoPlan
        When the job as it is has no plan; a change that leaves none is a row that says why.
    """
    from cutplan.planning import scenarios
    from cutplan.problems import NoPlan
    from cutplan.words.comparison_words import compared, not_possible

    repeated = (
        ("--carry", _other_carry, carry),
        ("--price", _other_price, price),
        ("--without", scenarios.without_merchant, without),
        ("--delivered", scenarios.delivered_by, delivered),
        ("--fetched", scenarios.fetched_from, fetched),
    )
    named = _changes(job, kerf, keep, repeated, no_rack=no_rack, no_shared_mitres=no_shared_mitres, also=also)
    lists = _lists_of(job) if one_by_one else ()
    wanted = (*scenarios.quoted(job), *named) if quoted else named
    if not (wanted or quoted or lists):
        wanted = scenarios.usual_changes(job)

    def planned(number: int, changed: Job) -> Plan:
        if folder is None:
            return plan(changed, time_limit=time_limit, progress=progress)
        return plan_into(changed, Path(folder) / str(number), time_limit=time_limit, progress=progress)[0]

    base = planned(0, job)
    rows = [compared("all quotes together" if quoted else "as it is", [(job, base)], (job, base))]
    for number, change in enumerate(wanted, 1):
        if rows[-1].stopped_by == "user":
            break
        try:
            row = compared(change.words, [(change.job, planned(number, change.job))], (job, base))
        except NoPlan as none:
            row = not_possible(change.words, str(none))
        rows.append(replace(row, warnings=change.warnings))
    if lists and rows[-1].stopped_by != "user":
        place = Path(folder) / str(len(wanted) + 1) if folder is not None else None
        rows.append(_one_by_one(lists, (job, base), place, time_limit, progress))
    return tuple(rows)


def _lists_of(job: Job) -> tuple[Job, ...]:
    from cutplan.model import parted

    lists = parted(job)
    if len(lists) == 1:
        accepted = "two lists or more, which are bought together as it is"
        raise ProblemsFound([Problem.statement("--one-by-one", "a single list", accepted, code="batch.one_list")])
    return lists


def _one_by_one(
    lists: Sequence[Job],
    base: tuple[Job, Plan],
    folder: Path | None,
    time_limit: float,
    progress: Callable[[str], None] | None,
) -> Compared:
    from cutplan.actions.own_rack import in_turn
    from cutplan.problems import NoPlan
    from cutplan.words.comparison_words import compared, not_possible

    words = "each list bought by itself, in turn"
    try:
        turns = list(in_turn(lists, base[0].offcuts, time_limit=time_limit, progress=progress))
    except NoPlan as none:
        return not_possible(words, str(none))
    if folder is not None:
        for turn in turns:
            write_plan(turn.job, turn.plan, folder / turn.job.name)
    return compared(words, [(turn.job, turn.plan) for turn in turns], base)


def _changes(
    job: Job,
    kerf: str | None,
    keep: str | None,
    repeated: Sequence[tuple[str, Callable[[Job, str], Change], Sequence[str]]],
    *,
    no_rack: bool,
    no_shared_mitres: bool,
    also: Path | str | None,
) -> tuple[Change, ...]:
    from cutplan import reading
    from cutplan.planning import scenarios

    figures = job.workshop.figures
    wanted, problems = [], []
    asked: list[tuple[str, Callable[[], Change]]] = []
    if kerf is not None:
        named, figure = kerf_of_saw(job.workshop, kerf, "--kerf")
        asked.append(("--kerf", lambda: scenarios.other_kerf(job, figures.length_or_zero(figure), named)))
    if keep is not None:
        asked.append(("--keep", lambda: scenarios.other_keep(job, figures.length(keep))))
    asked += [(option, partial(make, job, name)) for option, make, names in repeated for name in names]
    if no_shared_mitres:
        asked.append(("--no-shared-mitres", partial(scenarios.without_shared_mitres, job)))
    for where, make in asked:
        try:
            wanted.append(make())
        except Refused as refused:
            problems.append(Problem.at(where, refused))
    if no_rack:
        wanted.append(scenarios.without_rack(job))
    if also is not None:
        try:
            offers, shop, warnings = reading.read_further(Path(also), job.workshop)
            changed = scenarios.with_offers(replace(job, workshop=shop), offers, Path(also).name)
            charges = ", and what it charges" if shop != job.workshop else ""
            wanted.append(replace(changed, words=f"{changed.words}{charges}", warnings=warnings))
        except ProblemsFound as found:
            problems += found.problems
    if problems:
        raise ProblemsFound(problems)
    return tuple(wanted)


def _other_carry(job: Job, typed: str) -> Change:
    from cutplan.planning import scenarios

    return scenarios.other_carry(job, job.workshop.figures.length(typed))


def _other_price(job: Job, text: str) -> Change:
    from cutplan.planning import scenarios
    from cutplan.reading.lists.prices import price_of

    row, colon, typed = (each.strip() for each in text.partition(":"))
    if not (colon and row.isdecimal()):
        raise Refused(text, PRICE_FORMS, code="price.row")
    return scenarios.other_price(job, int(row), price_of(job.workshop, typed), typed)


def comparison(job: Job, rows: Sequence[Compared], *, width: int = 100, by_section: bool = False) -> str:
    """What :func:`compare` found, as a table of plain text at most ``width`` characters wide.

    With ``by_section`` each row has its whole lengths below it: how many are taken and, of a limited number, stay
    unused, and what is paid for what is left of them.
    """
    from cutplan.words.comparison_words import comparison_text

    return comparison_text(job, rows, width, by_section=by_section)


def comparison_values(job: Job, rows: Sequence[Compared]) -> dict[str, Any]:
    """What :func:`compare` found, as values for JSON."""
    from cutplan.words.comparison_words import comparison_document

    return comparison_document(job, rows)


def comparison_cells(job: Job, rows: Sequence[Compared]) -> list[dict[str, Any]]:
    """What :func:`compare` found as cells of a table, its heads first, each with its notes."""
    from dataclasses import asdict

    from cutplan.words.comparison_words import cells_of, heads_of

    return [asdict(heads_of(job)), *(asdict(cells_of(job, row)) for row in rows)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What of a job can be compared otherwise: its offers by row of the price list, its merchants, and the rest.

    ``kerf`` and ``carry`` are what the workshop says now, ``mitres`` whether any may share a cut.
    """

    offers: tuple[tuple[int, str], ...]
    merchants: tuple[str, ...]
    kerf: str
    carry: str
    rack: bool
    mitres: bool
    several: bool


def choices(job: Job) -> Choices:
    """What a page offers to change; of offers those of sections that the job needs."""
    from cutplan.units import length_text
    from cutplan.words.naming import shop_name

    shop, wanted = job.workshop, {part.section.key for part in job.parts}
    offers = []
    for offer in job.offers:
        if offer.row and offer.typed_price and offer.section.key in wanted:
            name, length = shop_name(offer.section.designation, shop.printing), length_text(offer.length, shop.printing)
            offers.append((offer.row, f"{name}, {length}, {offer.merchant}: {offer.typed_price} {offer.basis.value}"))
    return Choices(
        offers=tuple(offers),
        merchants=tuple(sorted({offer.merchant for offer in job.offers if offer.merchant})),
        kerf=", ".join(dict.fromkeys(length_text(saw.kerf, shop.printing) for saw in shop.all_saws)),
        carry=length_text(shop.longest_carry, shop.printing) if shop.longest_carry else "",
        rack=bool(job.offcuts),
        mitres=any(part.mitred for part in job.parts) and any(saw.share_mitres for saw in shop.all_saws),
        several=len({part.list_name for part in job.parts}) > 1,
    )
