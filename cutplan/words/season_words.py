"""A season of jobs under several sets of keys, in words and as values for JSON, which say the same."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from cutplan.model import Workshop
from cutplan.units import (
    METRE,
    Length,
    Mass,
    Money,
    Printing,
    counted,
    exact_money_text,
    kg_text,
    length_text,
    mass_figure,
    mm_text,
    money_text,
)
from cutplan.units.quantities import fixed_text
from cutplan.words.season_luck import better_throughout, fewest, once_in, times_less


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOver:
    """A left over that a job, the ``came``-th, put on the rack, and the job that cut it up; None: it lies there still.

    Jobs are counted from 1. [nm]
    """

    section: str
    length: Length
    came: int
    used: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """What all jobs of one order came to, under one set of keys.

    Parameters
    ----------
    paid
        What each job had to pay; None where a price is not known. [millionths of the currency]
    bought, scrapped
        By each job. [mg]
    left_overs
        What went on the rack, in that order.
    length
        Of all that lies on the rack after the last job. [nm]
    over_time
        Pieces on the rack after each job.
    first_kept
        Left overs of bars that were bought; what is kept of a piece of the rack once more is not in it. [nm]
    unproven
        Jobs whose plan is not proven the cheapest.
    days
        On which each job was built; empty where that is not known.
    stopped_by
        What ended a search before it was done; blank: nothing did.
    """

    paid: tuple[Money, ...] | None
    bought: tuple[Mass, ...]
    scrapped: tuple[Mass, ...]
    left_overs: tuple[LeftOver, ...]
    length: Length
    over_time: tuple[int, ...]
    first_kept: Length = 0
    unproven: int = 0
    days: tuple[date, ...] = ()
    stopped_by: str = ""

    @property
    def money(self) -> Money | None:
        """To pay for all jobs; None where a price is not known."""
        return None if self.paid is None else sum(self.paid)

    @property
    def scrap(self) -> Mass:
        """Of all jobs."""
        return sum(self.scrapped)

    @property
    def pieces(self) -> int:
        """On the rack after the last job."""
        return self.over_time[-1]

    @property
    def most_pieces(self) -> int:
        """On the rack after any job."""
        return max(self.over_time)

    @property
    def kept(self) -> int:
        """Left overs that went on the rack."""
        return len(self.left_overs)

    @property
    def waits(self) -> tuple[int, ...]:
        """How many jobs after it came each left over was cut up that was."""
        return tuple(each.used - each.came for each in self.left_overs if each.used is not None)

    @property
    def days_waited(self) -> tuple[int, ...]:
        """The same in days, where they are known."""
        spans = [(each.came, each.used) for each in self.left_overs if self.days and each.used is not None]
        return tuple(self._days_between(came, used) for came, used in spans)

    def _days_between(self, job: int, later: int) -> int:
        return (self.days[later - 1] - self.days[job - 1]).days

    @property
    def used_again(self) -> int:
        """Left overs that a later job cut up."""
        return len(self.waits)

    @property
    def ages(self) -> tuple[int, ...]:
        """How many jobs ago each left over came that lies on the rack after the last."""
        return tuple(len(self.over_time) - each.came for each in self.left_overs if each.used is None)

    @property
    def days_lain(self) -> tuple[int, ...]:
        """The same in days, where they are known, until the last job."""
        came = [each.came for each in self.left_overs if self.days and each.used is None]
        return tuple(self._days_between(each, len(self.days)) for each in came)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One set of keys and what each draw came to under it; ``lines`` are for the workshop file, blank as it is."""

    words: str
    lines: str
    draws: tuple[Draw, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """What a season came to under each set of keys, first the workshop as it is; ``drawn``: not the lists in turn."""

    workshop: Workshop
    jobs: int
    drawn: bool
    tried: tuple[Tried, ...]

    @property
    def days(self) -> tuple[date, ...]:
        """On which the jobs were built; empty where that is not known."""
        return self.tried[0].draws[0].days


NAMES = 20
"""Width of the column of keys; longer ones have a line of their own."""


def season_text(season: Season) -> str:
    """The table, a row for each set of keys, and what it says."""
    draws = len(season.tried[0].draws)
    over = f", {draws} times drawn" if season.drawn else ""
    if season.days:
        over = f" from {season.days[0]} to {season.days[-1]}"
    lines = [
        f"{counted(season.jobs, 'job')}{over}, one after another, each cut as planned",
        "  The rack begins as it is now; what a job leaves lies there for those after it.",
    ]
    if draws > 1:
        lines.append("  Figures are means over the draws, which are the same in every row.")
    lines.append(_row("", row_headings(season)))
    for each in season.tried:
        words = each.words
        if len(words) >= NAMES:
            lines.append(words)
            words = ""
        lines.append(_row(words, row_figures(season, each)))
    lines += [proofs(season), "", *(beside(season, each) for each in season.tried[1:])]
    return "\n".join([*lines, *worth(season), *never_used(season), *advice(season)]).rstrip()


def _row(words: str, cells: Sequence[str]) -> str:
    return f"{words:<{NAMES}}" + "".join(f"{cell:>{wide}}" for cell, wide in zip(cells, _WIDE, strict=True))


_WIDE = (12, 10, 6, 12, 9, 9)


def row_headings(season: Season) -> tuple[str, ...]:
    """What the figures of a row are."""
    scrap = f"scrap {season.workshop.printing.mass_unit}"
    return paid_heading(season), scrap, "kept", "used again", "on rack", "at most"


def row_figures(season: Season, tried: Tried) -> tuple[str, ...]:
    """What a set of keys came to, means over the draws."""
    draws = tried.draws
    return (
        _spent_text(season, tried),
        mass_figure(round(_mean(draws, lambda draw: draw.scrap)), season.workshop.printing),
        _figure(draws, lambda draw: draw.kept),
        _figure(draws, lambda draw: draw.used_again),
        _figure(draws, lambda draw: draw.pieces),
        _figure(draws, lambda draw: draw.most_pieces),
    )


def paid_heading(season: Season) -> str:
    """What its first figure is: money, or where a price is not known what was bought."""
    return f"to pay {season.workshop.currency}" if priced(season) else f"to buy {season.workshop.printing.mass_unit}"


def paid_range(season: Season, tried: Tried) -> list[str]:
    """What a set of keys came to, and from the least to the most among several draws."""
    spent = [_spent(season, draw) for draw in tried.draws]
    lines = [f"{_spent_text(season, tried)} {paid_heading(season).rsplit(' ', 1)[1]}"]
    if len(spent) > 1:
        lines.append(f"from {_amount_text(season, min(spent))} to {_amount_text(season, max(spent))}")
    return lines


def priced(season: Season) -> bool:
    """Is the price of everything known?"""
    return all(draw.money is not None for each in season.tried for draw in each.draws)


def _spent(season: Season, draw: Draw) -> int:
    return sum(spent_by_job(season, draw))


def spent_by_job(season: Season, draw: Draw) -> tuple[int, ...]:
    """What each job had to pay, or where a price is not known what it bought."""
    return draw.bought if not priced(season) or draw.paid is None else draw.paid


def _spent_text(season: Season, tried: Tried) -> str:
    return _amount_text(season, round(_mean(tried.draws, lambda draw: _spent(season, draw))))


def _amount_text(season: Season, amount: int) -> str:
    return money_text(amount) if priced(season) else mass_figure(amount, season.workshop.printing)


def _mean(draws: Sequence[Draw], of: Callable[[Draw], int]) -> Fraction:
    return Fraction(sum(map(of, draws)), len(draws))


def _figure(draws: Sequence[Draw], of: Callable[[Draw], int]) -> str:
    mean = _mean(draws, of)
    return str(mean.numerator) if mean.denominator == 1 else fixed_text(mean, 1)


def _differences(season: Season, tried: Tried) -> list[int]:
    """Draw by draw, what it comes to above the workshop as it is; the jobs of the two are the same."""
    as_it_is = season.tried[0].draws
    return [_spent(season, one) - _spent(season, other) for one, other in zip(tried.draws, as_it_is, strict=True)]


def beside(season: Season, tried: Tried) -> str:
    """What a set of keys comes to above the workshop as it is, or below it."""
    found = _differences(season, tried)

    def shown(amount: int | Fraction) -> str:
        whole = round(amount)
        if priced(season):
            return f"{whole / 1_000_000:+.2f}"
        how = season.workshop.printing
        return f"{'+' if whole >= 0 else '-'}{mass_figure(abs(whole), how)} {how.mass_unit}"

    mean = shown(Fraction(sum(found), len(found)))
    among = "" if len(found) == 1 else f", from {shown(min(found))} to {shown(max(found))} among {len(found)} draws"
    return f"{tried.words}: {mean}{among}"


def proofs(season: Season) -> str:
    """Of how many plans it is proven that none is cheaper."""
    plans = season.jobs * sum(len(each.draws) for each in season.tried)
    unproven = sum(draw.unproven for each in season.tried for draw in each.draws)
    if unproven:
        return f"{unproven} of {counted(plans, 'plan')} are not proven the cheapest."
    return f"All {plans} plans are proven the cheapest." if plans > 1 else "The plan is proven the cheapest."


def worth(season: Season) -> list[str]:
    """What a metre saved that was kept of a bought length, where under some keys nothing is kept; else nothing."""
    none = next((each for each in season.tried if not any(draw.kept for draw in each.draws)), None)
    if none is None or not priced(season):
        return []
    lines = [_worth_line(season, each, none) for each in season.tried if all(draw.first_kept for draw in each.draws)]
    return lines and [
        "",
        f"What a metre kept of a bought length saved, in {season.workshop.currency}, against keeping nothing",
        f"({none.words}); what still lies on the rack may save more:",
        *lines,
    ]


def _worth_line(season: Season, tried: Tried, none: Tried) -> str:
    def shown(saved: int, kept: Length) -> str:
        return money_text(round(Fraction(saved * METRE, kept)))

    pairs = [
        (_spent(season, other) - _spent(season, draw), draw.first_kept)
        for draw, other in zip(tried.draws, none.draws, strict=True)
    ]
    mean = shown(sum(saved for saved, _ in pairs), sum(kept for _, kept in pairs))
    each = sorted(pairs, key=lambda pair: Fraction(*pair))
    among = "" if len(pairs) == 1 else f", from {shown(*each[0])} to {shown(*each[-1])} among {len(pairs)} draws"
    return f"  {tried.words}: {mean}{among}"


def never_used(season: Season) -> list[str]:
    """How long what the jobs left has been lying there, as the workshop is."""
    draws = season.tried[0].draws
    ages = [age for draw in draws for age in draw.ages]
    if not ages:
        return []
    ago = f"{fixed_text(Fraction(sum(ages), len(ages)), 1)} jobs"
    if days := [each for draw in draws for each in draw.days_lain]:
        ago += f", or {fixed_text(Fraction(sum(days), len(days)), 1)} days,"
    of = sum(draw.kept for draw in draws)
    lines = [
        "",
        f"As it is, {len(ages)} of {of} left overs kept were still there after the last job,",
        f"on average {ago} after they came.",
    ]
    return lines + [
        f"  {row.section}: {row.never} of {row.kept}, "
        f"{lengths_text(row.shortest, row.longest, season.workshop.printing)}"
        for row in sections_left(season.tried[0])
        if row.never
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionLeft:
    """Left overs of a section over all draws: those kept, those never used, the shortest and longest of these. [nm]"""

    section: str
    kept: int
    never: int
    shortest: Length
    longest: Length


def sections_left(tried: Tried) -> tuple[SectionLeft, ...]:
    """By section what was kept and what of it was never used, most of these first."""
    every = [each for draw in tried.draws for each in draw.left_overs]
    rows = []
    for section in dict.fromkeys(each.section for each in every):
        own = [each for each in every if each.section == section]
        never = [each.length for each in own if each.used is None]
        rows.append(
            SectionLeft(
                section=section,
                kept=len(own),
                never=len(never),
                shortest=min(never, default=0),
                longest=max(never, default=0),
            )
        )
    return tuple(sorted(rows, key=lambda row: -row.never))


def lengths_text(shortest: Length, longest: Length, how: Printing) -> str:
    """From the shortest to the longest; one length where they are alike."""
    ends = [length_text(each, how) for each in dict.fromkeys((shortest, longest))]
    return " to ".join(ends)


def advice(season: Season) -> list[str]:
    """What is advised and on what it rests, with its lines for the workshop file; nothing where no keys were tried."""
    sets, draws = len(season.tried) - 1, len(season.tried[0].draws)
    if not sets:
        return []
    if draws < fewest(sets):
        return [
            "",
            "Too few jobs to advise on: --jobs and --draws draw more, at least",
            f"{fewest(sets)} times for {counted(sets, 'set')} of keys.",
        ]
    rests = f"It rests on {counted(season.jobs, 'job')}, drawn {draws} times."
    best = recommended(season)
    if best is None:
        return ["", f"None of these keys did better in {fewest(sets)} draws and worse in none. {rests}"]
    money = _differences(season, best)
    better = times_less(money) or times_less(_emptier(season, best))
    return [
        "",
        f"{best.words}: dearer in no draw, {'cheaper' if any(money) else 'with less on the rack'} in {better}. {rests}",
        f"Of {counted(sets, 'set')} of keys that change nothing one would do so by luck in 1 of",
        f"{once_in(better, sets)} seasons.",
        "Lines for the workshop file; below a heading that it has already, in place of",
        "the keys of their names:",
        "",
        best.lines,
    ]


def _emptier(season: Season, tried: Tried) -> list[int]:
    """Draw by draw, how much more lies on the rack in the end than with the workshop as it is."""
    return [one.pieces - other.pieces for one, other in zip(tried.draws, season.tried[0].draws, strict=True)]


def recommended(season: Season) -> Tried | None:
    """The keys under which no draw was dearer, and so many were cheaper that luck would seldom do it, the cheapest of
    these; where there are none, those that cost the same in every draw and leave less on the rack as often.

    None where there are no such keys, or too few draws to tell.
    """
    sets = len(season.tried) - 1
    cheaper, emptier = [], []
    for each in season.tried[1:]:
        money, pieces = _differences(season, each), _emptier(season, each)
        if better_throughout(money, sets):
            cheaper.append((sum(money), sum(pieces), each))
        elif not any(money) and better_throughout(pieces, sets):
            emptier.append((0, sum(pieces), each))
    best = min(cheaper or emptier, key=lambda found: found[:2], default=None)
    return best[2] if best else None


def season_values(season: Season) -> dict[str, Any]:
    """All of it as values: money as exact decimals in the currency, masses in kg, lengths in mm."""
    best = recommended(season)
    return {
        "jobs": season.jobs,
        "drawn": season.drawn,
        "days": [day.isoformat() for day in season.days],
        "currency": season.workshop.currency,
        "recommended": best.words if best else None,
        "rows": [
            {"keys": each.words, "lines": each.lines, "draws": [draw_values(draw) for draw in each.draws]}
            for each in season.tried
        ],
    }


COLUMNS = (
    "to_pay",
    "bought_kg",
    "scrap_kg",
    "kept",
    "used_again",
    "on_rack",
    "on_rack_mm",
    "on_rack_at_most",
    "left_there",
    "waiting_jobs",
    "waiting_days",
    "first_kept_mm",
    "not_proven",
    "stopped_by",
)
"""What of a draw is one figure each."""


def draw_values(draw: Draw) -> dict[str, Any]:
    """A draw as values for JSON and csv."""
    return {
        "to_pay": None if draw.money is None else exact_money_text(draw.money),
        "bought_kg": kg_text(sum(draw.bought), 3),
        "scrap_kg": kg_text(draw.scrap, 3),
        "kept": draw.kept,
        "used_again": draw.used_again,
        "on_rack": draw.pieces,
        "on_rack_mm": mm_text(draw.length),
        "on_rack_at_most": draw.most_pieces,
        "left_there": len(draw.ages),
        "waiting_jobs": sum(draw.ages),
        "waiting_days": sum(draw.days_lain) if draw.days else None,
        "first_kept_mm": mm_text(draw.first_kept),
        "not_proven": draw.unproven,
        "on_rack_after_each_job": list(draw.over_time),
        "to_pay_by_job": None if draw.paid is None else [exact_money_text(each) for each in draw.paid],
        "scrap_kg_by_job": [kg_text(each, 3) for each in draw.scrapped],
        "left_overs": [
            {
                "section": each.section,
                "length_mm": mm_text(each.length),
                "came_with_job": each.came,
                "used_by_job": each.used,
            }
            for each in draw.left_overs
        ],
        "stopped_by": draw.stopped_by,
    }
