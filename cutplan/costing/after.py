"""What a job came to, held against what was quoted; and what minutes reported of jobs say of the figures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutplan.costing.cents import shares_of, whole_shares
from cutplan.costing.cost_figures import HOUR, MINUTE, HourFigures, Minutes
from cutplan.costing.costs import Done
from cutplan.costing.handwork import Handwork, Task
from cutplan.costing.quote import Quote
from cutplan.units import Money, round_half_up, rounded_to_cents

ALL = ""
"""Minutes of all work together."""

WORDS: dict[str, tuple[Handwork, ...]] = {
    "saw": (Handwork.BARS, Handwork.STOPS, Handwork.STROKES),
    "drill": (Handwork.HOLES,),
    "weld": (Handwork.WELDS,),
    "coat": (),
}
"""What minutes may be reported of, one word each, and what a plan counts of it; coats are counted by area."""

_FIGURES = {
    "saw": ("per_bar", "per_stop", "per_cut", "per_cut_1000_mm2"),
    "drill": ("per_hole", "per_hole_10_mm"),
    "weld": ("per_weld_end", "per_weld_100_mm"),
}
_TENTH: Minutes = MINUTE // 10

FEWEST_JOBS = 3
"""Below so many jobs no figure is advised: of two that differ nobody knows which was the unusual one. Own choice."""


def word_of(done: Done) -> str:
    """The word that minutes of some work are reported by."""
    if not isinstance(done, Task):
        return "coat"
    return next(word for word, works in WORDS.items() if done.work in works)


def expected_of(done: Iterable[Done]) -> dict[str, Minutes]:
    """Minutes that a plan's work takes by the figures, by word."""
    minutes: Counter[str] = Counter()
    for each in done:
        minutes[word_of(each)] += each.minutes
    return {word: minutes[word] for word in WORDS}


def noted_figures(figures: HourFigures) -> dict[str, str]:
    """By word, the figures by which its minutes are expected, as they are noted with these."""
    noted = {word: ", ".join(f"{name} {getattr(figures, name)}" for name in names) for word, names in _FIGURES.items()}
    return noted | {ALL: ", ".join(noted.values())}


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterItem:
    """One assembly; amounts without tax. ``minutes`` are those it took, or those expected where none were reported."""

    assembly: str
    quoted: Money
    price: Money
    materials: Money
    work: Money
    minutes: Minutes
    cost: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What a quoted job came to; amounts without tax.

    Parameters
    ----------
    materials
        Paid, bought again and taken from the rack, less what went back to it.
    minutes
        That were reported, and as quoted those of kinds of which none were; None where none were reported at all, and
        ``work`` is then as quoted.
    as_quoted
        Kinds of work of which none were reported, where some were.
    rest
        Consumables, coats, transport and overhead, as quoted.
    """

    quote: Quote
    materials: Money
    minutes: Minutes | None
    work: Money
    rest: Money
    items: tuple[AfterItem, ...]
    as_quoted: tuple[str, ...] = ()

    @property
    def cost(self) -> Money:
        """What it came to."""
        return self.materials + self.work + self.rest

    @property
    def left(self) -> Money:
        """What is left of the price; less than nothing where it cost more."""
        return self.quote.price - self.cost


def after_of(
    quote: Quote,
    materials: Money,
    spent: Mapping[str, tuple[Minutes, Minutes]],
    shares: Mapping[str, tuple[Money, Minutes]],
) -> After:
    """Hold a job against its quote.

    Parameters
    ----------
    materials
        What it came to without tax, in whole cents.
    spent
        By word, or :data:`ALL`: minutes that were reported of all its plans, 0 where none were, and those expected.
        Kinds of work that were not reported stand as quoted: they have that share of the quote's minutes that they have
        of those expected.
    shares
        By assembly, the money of materials and the expected minutes of all its recorded plans: what was bought again
        is of those whose parts were cut again. An empty one takes what the quote expected.
    """
    minutes, as_quoted = _minutes_of(quote, spent)
    work = quote.work if minutes is None else rounded_to_cents(Fraction(minutes * quote.hour_rate, HOUR))
    rest = quote.cost - quote.materials - quote.work
    known = shares or {item.assembly: (item.materials, item.minutes) for item in quote.items}
    of = [known.get(item.assembly, (0, 0)) for item in quote.items]
    of_materials = shares_of(materials, [money for money, _ in of])
    weights = [time for _, time in of]
    of_minutes = whole_shares(quote.minutes if minutes is None else minutes, weights)
    of_work = [item.work for item in quote.items] if minutes is None else shares_of(work, weights)
    of_rest = shares_of(rest, [item.cost for item in quote.items])
    items = tuple(
        AfterItem(
            assembly=item.assembly,
            quoted=item.cost,
            price=item.price,
            materials=of_materials[place],
            work=of_work[place],
            minutes=of_minutes[place],
            cost=of_materials[place] + of_work[place] + of_rest[place],
        )
        for place, item in enumerate(quote.items)
    )
    return After(
        quote=quote, materials=materials, minutes=minutes, work=work, rest=rest, items=items, as_quoted=as_quoted
    )


def _minutes_of(quote: Quote, spent: Mapping[str, tuple[Minutes, Minutes]]) -> tuple[Minutes | None, tuple[str, ...]]:
    """What all work took, None where no minutes were reported; and the kinds that stand in it as quoted."""
    told = sum(took for took, _ in spent.values())
    if not told:
        return None, ()
    untold = {word: due for word, (took, due) in spent.items() if word != ALL and not took and due}
    if spent.get(ALL, (0, 0))[0] or not untold:
        return told, ()
    whole = sum(due for word, (_, due) in spent.items() if word != ALL)
    return told + round_half_up(Fraction(quote.minutes * sum(untold.values()), whole)), tuple(untold)


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggested:
    """A figure of the workshop file as it is, and as jobs say it should be.

    Parameters
    ----------
    work
        The word of its kind of work.
    better
        None where the jobs are too few to advise one.
    jobs
        How many say so.
    least, most
        Between what and what the minutes that one of them took lie, as a multiple of those expected of it.
    """

    work: str
    key: str
    now: Minutes
    better: Minutes | None
    jobs: int
    least: Fraction
    most: Fraction


def suggested(figures: HourFigures, measured: Mapping[str, Sequence[tuple[Minutes, Minutes]]]) -> tuple[Suggested, ...]:
    """What reported minutes say of the figures: each is multiplied by what its work took over what was expected.

    Parameters
    ----------
    measured
        By word: what each job took, and what was expected of it.
    """
    found = []
    for word, names in _FIGURES.items():
        jobs = [(took, expected) for took, expected in measured.get(word, ()) if expected]
        if not jobs:
            continue
        took, expected = map(sum, zip(*jobs, strict=True))
        ratios = [Fraction(*job) for job in jobs]
        for name in names:
            now: Minutes = getattr(figures, name)
            better = round_half_up(Fraction(now * took, expected) / _TENTH) * _TENTH
            if better != now:
                found.append(
                    Suggested(
                        work=word,
                        key=f"hours.{name}",
                        now=now,
                        better=better if len(jobs) >= FEWEST_JOBS else None,
                        jobs=len(jobs),
                        least=min(ratios),
                        most=max(ratios),
                    )
                )
    return tuple(found)
