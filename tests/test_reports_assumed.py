"""What changes the cut is told apart from the rest of what was assumed, in the reader's own sentences."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Assumption
from cutplan.reports.assumed import bearing_on, changing_the_cut
from tests import builders
from tests.hand_plans import hand_plan


def test_sentences_of_a_job_without_a_workshop_file(tmp_path: Path) -> None:
    """Every default left standing: the sentences are those that the reader writes."""
    listed = tmp_path / "gate.csv"
    listed.write_text(
        "Section,Length,Quantity,Cut A,Cut B\nSHS 40x40x3,900,4,45,45\nFL 40x5,300,2,,\n", encoding="utf-8"
    )
    told = actions.read_job(listed, stock=["6 m"]).assumptions
    found = changing_the_cut(told)
    beginnings = [" ".join(text.split()[:2]) for text in found]
    assert beginnings == [
        *("Kerf 2.5", "End trim", "The end", "Mill ends", "The vice", "The vice", "The saw's"),
        *("The saw", "Bars are", "Mitred parts", "Two mitres"),
    ]
    rest = [one.text for one in told if one.text not in found]
    assert "No workshop file: the settings are defaults." in rest
    assert any(text.startswith("Left overs of this length") for text in rest)


CODES = ("paper", "kerf", "carry", "offcut_ends", "offcut_value", "keep")


@pytest.mark.parametrize(
    ("source", "cuts", "codes"),
    [
        ("P1", ["A", "A"], ["kerf", "carry", "offcut_value", "keep"]),
        ("P2", ["A", "A"], ["kerf", "carry", "keep"]),
        ("R1", ["A", "A"], ["kerf", "offcut_ends", "keep"]),
        ("P3", ["A", "A"], ["kerf", "carry"]),
    ],
)
def test_a_rule_that_nothing_comes_under_bears_on_no_plan(source: str, cuts: list[str], codes: list[str]) -> None:
    """Of a length with a left over to keep, with scrap, of an offcut with scrap, and of a length used up."""
    offers = [builders.offer("P1", 3000, 9), builders.offer("P2", 2100, 9), builders.offer("P3", 2000, 9)]
    job = builders.job([builders.part("A", 2, 1000)], offers, [builders.offcut("R1", 2100)], keep=300)
    told = [Assumption(f"assumed.{code}", code) for code in CODES]
    assert list(bearing_on(hand_plan(job, (source, cuts)), told)) == codes
