"""What changes the cut is told apart from the rest of what was assumed, in the reader's own sentences."""

from __future__ import annotations

from pathlib import Path

from cutplan import actions
from cutplan.reports.assumed import changing_the_cut


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
        *("Kerf 2.5", "End trim", "The end", "Mill ends", "The vice", "The vice", "The saw's", "Bars are"),
        *("Mitred parts", "Two mitres"),
    ]
    rest = [one.text for one in told if one.text not in found]
    assert "No workshop file: the settings are defaults." in rest
    assert any(text.startswith("Left overs of this length") for text in rest)
