"""What was quoted and kept, in words and as values."""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from cutplan.model import Workshop
from cutplan.reading.forms.past_prices import Drift
from cutplan.words.quoted_words import Kept, kept_text, kept_values


@pytest.mark.parametrize(
    ("change", "how"),
    [
        (Fraction(1, 40), "2.5 % dearer than at first"),
        (Fraction(-1, 3), "33.3 % cheaper than at first"),
        (Fraction(1, 10_000), "the same as at first"),
    ],
)
def test_how_prices_moved(change: Fraction, how: str) -> None:
    drift = Drift(merchant="Yard", offers=1, days=1, change=change)
    kept = Kept(
        path=Path("p.csv"), day=date(2031, 6, 1), noted=1, before=0, unsold=0, unpriced=0, drifts=(drift,),
        charges=(), workshop=Workshop(),
    )  # fmt: skip
    last = kept_text(kept).splitlines()[-1]
    assert last == f"Yard: on average {how}; 1 price quoted more than once over 1 day."
    (values,) = json.loads(json.dumps(kept_values(kept)))["drifts"]
    assert values["change_percent"] == pytest.approx(float(change * 100), abs=0.001)
