"""The load list on paper."""

from __future__ import annotations

from cutplan.reports.paper.load_sheet import load_pdf, load_sheet
from cutplan.words.load_words import CAUTIONS, loads_of
from tests.test_load_words import cut_for_the_carry


def test_a_row_for_each_length_with_boxes() -> None:
    job, plan = cut_for_the_carry(30)
    sheet = load_sheet(loads_of(job, plan))
    yard, road = sheet["parts"]
    assert yard["rows"][0][0] == {"kind": "ticks", "count": 2}
    assert [row[2]["text"] for row in yard["rows"][:2]] == ["3092", "2905"]
    assert [row[5] for row in yard["rows"][:2]] == ["3, 4", "1, 2"]
    assert (yard["rows"][2][3]["text"], yard["rows"][2][7]["text"]) == ("Total", "36.0")
    assert yard["after"][0] == "4 pieces, 36.0 kg in total: 2 trips of at most 30.0 kg."
    assert tuple(road["before"]) == CAUTIONS
    assert load_pdf(loads_of(job, plan), job.workshop, job.name, "0a1b2c3d").startswith(b"%PDF")
