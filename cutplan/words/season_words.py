"""A season of jobs under several sets of keys, in words and as values for JSON, which say the same."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cutplan.model import Workshop
from cutplan.units import (
    Length,
    Mass,
    Money,
    counted,
    exact_money_text,
    kg_text,
    mass_figure,
    mm_text,
    money_text,
)
from cutplan.units.quantities import fixed_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """What all jobs of one order came to, under one set of keys.

    Parameters
    ----------
    money
        To pay for all of them; None where a price is not known. [millionths of the currency]
    bought, scrap
        [mg]
    kept, used_again
        Left overs that went on the rack, and how many of these a later job cut up.
    pieces, length, most_pieces
        On the rack after the last job, and the most after any. [length: nm]
    waiting
        How many jobs ago the pieces that a job left on the rack at the end came there, all added up.
    left_there
        How many such pieces there are.
    over_time
        Pieces on the rack after each job.
    stopped_by
        What ended a search before it was done; blank: nothing did.
    """

    money: Money | None
    bought: Mass
    scrap: Mass
    kept: int
    used_again: int
    pieces: int
    length: Length
    most_pieces: int
    waiting: int
    left_there: int
    over_time: tuple[int, ...]
    stopped_by: str = ""


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


NAMES = 20
"""Width of the column of keys; longer ones have a line of their own."""

FEWEST_DRAWS = 5
"""Below it nothing is advised: what a few jobs happen to want says little of those to come."""


def season_text(season: Season) -> str:
    """The table, a row for each set of keys, and what it says."""
    draws = len(season.tried[0].draws)
    how = season.workshop.printing
    over = f", {draws} times drawn" if season.drawn else ""
    lines = [
        f"{counted(season.jobs, 'job')}{over}, one after another, each cut as planned",
        "  The rack begins as it is now; what a job leaves lies there for those after it.",
    ]
    if draws > 1:
        lines.append("  Figures are means over the draws, which are the same in every row.")
    heads = f"{'scrap ' + how.mass_unit:>10}{'kept':>6}{'used again':>12}{'on rack':>9}{'at most':>9}"
    lines.append(f"{'':<{NAMES}}{paid_heading(season):>12}{heads}")
    for each in season.tried:
        draw = each.draws
        words = each.words
        if len(words) >= NAMES:
            lines.append(words)
            words = ""
        lines.append(
            f"{words:<{NAMES}}{_spent_text(season, each):>12}"
            f"{mass_figure(round(_mean(draw, lambda d: d.scrap)), how):>10}"
            f"{_figure(draw, lambda d: d.kept):>6}{_figure(draw, lambda d: d.used_again):>12}"
            f"{_figure(draw, lambda d: d.pieces):>9}{_figure(draw, lambda d: d.most_pieces):>9}"
        )
    lines += ["", *(_beside(season, each) for each in season.tried[1:])]
    return "\n".join([*lines, *_never_used(season), *_advice(season)]).rstrip()


def paid_heading(season: Season) -> str:
    """What its first figure is: money, or where a price is not known what was bought."""
    return f"to pay {season.workshop.currency}" if _priced(season) else f"to buy {season.workshop.printing.mass_unit}"


def paid_range(season: Season, tried: Tried) -> list[str]:
    """What a set of keys came to, and from the least to the most among several draws."""
    spent = [_spent(season, draw) for draw in tried.draws]
    lines = [_spent_text(season, tried)]
    if len(spent) > 1:
        lines.append(f"from {_amount_text(season, min(spent))} to {_amount_text(season, max(spent))}")
    return lines


def _priced(season: Season) -> bool:
    return all(draw.money is not None for each in season.tried for draw in each.draws)


def _spent(season: Season, draw: Draw) -> int:
    return draw.bought if not _priced(season) or draw.money is None else draw.money


def _spent_text(season: Season, tried: Tried) -> str:
    return _amount_text(season, round(_mean(tried.draws, lambda draw: _spent(season, draw))))


def _amount_text(season: Season, amount: int) -> str:
    return money_text(amount) if _priced(season) else mass_figure(amount, season.workshop.printing)


def _mean(draws: Sequence[Draw], of: Callable[[Draw], int]) -> Fraction:
    return Fraction(sum(map(of, draws)), len(draws))


def _figure(draws: Sequence[Draw], of: Callable[[Draw], int]) -> str:
    mean = _mean(draws, of)
    return str(mean.numerator) if mean.denominator == 1 else fixed_text(mean, 1)


def _differences(season: Season, tried: Tried) -> list[int]:
    """Draw by draw, what it comes to above the workshop as it is; the jobs of the two are the same."""
    as_it_is = season.tried[0].draws
    return [_spent(season, one) - _spent(season, other) for one, other in zip(tried.draws, as_it_is, strict=True)]


def _beside(season: Season, tried: Tried) -> str:
    found = _differences(season, tried)

    def shown(amount: int | Fraction) -> str:
        whole = round(amount)
        if _priced(season):
            return f"{whole / 1_000_000:+.2f}"
        how = season.workshop.printing
        return f"{'+' if whole >= 0 else '-'}{mass_figure(abs(whole), how)} {how.mass_unit}"

    mean = shown(Fraction(sum(found), len(found)))
    among = "" if len(found) == 1 else f", from {shown(min(found))} to {shown(max(found))} among {len(found)} draws"
    return f"{tried.words}: {mean}{among}"


def _never_used(season: Season) -> list[str]:
    """How long what the jobs left has been lying there, as the workshop is."""
    draws = season.tried[0].draws
    left = sum(draw.left_there for draw in draws)
    if not left:
        return []
    ago = fixed_text(Fraction(sum(draw.waiting for draw in draws), left), 1)
    of = sum(draw.kept for draw in draws)
    return [
        "",
        f"As it is, {left} of {of} left overs kept were still there after the last job,",
        f"on average {ago} jobs after they came.",
    ]


def _advice(season: Season) -> list[str]:
    if len(season.tried) == 1:
        return []
    draws = len(season.tried[0].draws)
    if draws < FEWEST_DRAWS:
        return ["", f"Too few jobs to advise on: --jobs and --draws draw more, at least {FEWEST_DRAWS} times."]
    rests = f"It rests on {counted(season.jobs, 'job')}, drawn {draws} times."
    best = recommended(season)
    if best is None:
        return ["", f"None of these keys did better in every draw. {rests}"]
    why = "all in all cheaper" if sum(_differences(season, best)) < 0 else "with less on the rack"
    return ["", f"{best.words}: dearer in no draw, {why}. {rests}", "Lines for the workshop file:", "", best.lines]


def recommended(season: Season) -> Tried | None:
    """The keys under which no draw was dearer, and all together were cheaper or filled the rack less.

    None where there are no such keys, or too few draws to tell.
    """
    if len(season.tried[0].draws) < FEWEST_DRAWS:
        return None
    sound = [each for each in season.tried[1:] if max(_differences(season, each)) <= 0]
    if not sound:
        return None

    def rank(tried: Tried) -> tuple[int, Fraction]:
        return sum(_differences(season, tried)), _mean(tried.draws, lambda draw: draw.pieces)

    best = min(sound, key=rank)
    return best if rank(best) < rank(season.tried[0]) else None


def season_values(season: Season) -> dict[str, Any]:
    """All of it as values: money as exact decimals in the currency, masses in kg, lengths in mm."""
    best = recommended(season)
    return {
        "jobs": season.jobs,
        "drawn": season.drawn,
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
    "stopped_by",
)
"""What of a draw is one figure each."""


def draw_values(draw: Draw) -> dict[str, Any]:
    """A draw as values for JSON and csv."""
    return {
        "to_pay": None if draw.money is None else exact_money_text(draw.money),
        "bought_kg": kg_text(draw.bought, 3),
        "scrap_kg": kg_text(draw.scrap, 3),
        "kept": draw.kept,
        "used_again": draw.used_again,
        "on_rack": draw.pieces,
        "on_rack_mm": mm_text(draw.length),
        "on_rack_at_most": draw.most_pieces,
        "left_there": draw.left_there,
        "waiting_jobs": draw.waiting,
        "on_rack_after_each_job": list(draw.over_time),
        "stopped_by": draw.stopped_by,
    }
