"""What merchants quoted and is kept, in words and as values for JSON, which say the same."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from cutplan.model import Workshop
from cutplan.problems import Problem
from cutplan.reading.forms.past_prices import Drift
from cutplan.reading.lists.merchant_charges import Charges, charge_text, charges_typed
from cutplan.units import counted
from cutplan.units.quantities import fixed_text
from cutplan.words.refusals import problem_values, warning_lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """How many prices of a list were noted, and how many had been noted before; ``path`` is where.

    Nothing is noted of rows that say ``no``, ``unsold``, and of those without a price, ``unpriced``. ``drifts`` says
    how all prices kept have moved, of the merchants of this list. ``charges`` are what they charge beside,
    ``warnings`` what may be a slip in the list.
    """

    path: Path
    day: date
    noted: int
    before: int
    unsold: int
    unpriced: int
    drifts: tuple[Drift, ...]
    charges: tuple[Charges, ...]
    workshop: Workshop
    warnings: tuple[Problem, ...] = ()


def kept_text(kept: Kept) -> str:
    """What was noted, in words."""
    before = f"; {kept.before} noted before" if kept.before else ""
    over = [f"{kept.unsold} not sold"] * bool(kept.unsold) + [f"{kept.unpriced} without a price"] * bool(kept.unpriced)
    passed = f" Passed over: {counted(kept.unsold + kept.unpriced, 'row')}, {' and '.join(over)}." if over else ""
    noted = f"{counted(kept.noted, 'price')} of {kept.day} noted in {kept.path}{before}.{passed}"
    return "\n".join([noted, *warning_lines(kept.warnings), *map(_drift_text, kept.drifts), *_charges_lines(kept)])


def _charges_lines(kept: Kept) -> list[str]:
    """What merchants charge beside their prices, each in a line."""
    return [
        f"{each.merchant}: {', '.join(charge_text(word, value, kept.workshop) for word, value in each.said)}."
        for each in kept.charges
    ]


def put_text(path: Path) -> str:
    """Where charges were put."""
    return f"These charges stand in {path} now."


NONE_BEFORE = "Nothing that was quoted before fits this job: no price is filled in."
PUT_THEM = "--charges puts these charges into the workshop file."


def _drift_text(drift: Drift) -> str:
    percent = fixed_text(abs(drift.change) * 100, 1)
    how = "the same as"
    if percent != "0.0":
        how = f"{percent} % {'dearer' if drift.change > 0 else 'cheaper'} than"
    rests = f"{counted(drift.offers, 'price')} quoted more than once over {counted(drift.days, 'day')}"
    return f"{drift.merchant or 'No merchant named'}: on average {how} at first; {rests}."


def kept_values(kept: Kept) -> dict[str, Any]:
    """What was noted, as values for JSON."""
    counts = {"noted": kept.noted, "before": kept.before, "unsold": kept.unsold, "unpriced": kept.unpriced}
    drifts = [
        {
            "merchant": drift.merchant,
            "prices": drift.offers,
            "days": drift.days,
            "change_percent": float(round(drift.change * 100, 3)),
        }
        for drift in kept.drifts
    ]
    charges = [{"merchant": each.merchant, **charges_typed(each, kept.workshop)} for each in kept.charges]
    warnings = [problem_values(problem) for problem in kept.warnings]
    return {
        "file": str(kept.path),
        "day": kept.day.isoformat(),
        **counts,
        "drifts": drifts,
        "charges": charges,
        "warnings": warnings,
    }
