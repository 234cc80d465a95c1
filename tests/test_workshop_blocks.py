"""Tables of the workshop file that may be repeated, as forms."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from tests.source_code import ROOT

pytestmark = pytest.mark.usefixtures("parts")
FILE = Path("workshop.toml")


def typed(table: str) -> dict[str, str]:
    return {key.name: key.typed for block in actions.blocks_shown(table)[1] for key in block.keys}


def test_the_sample_stays_as_it_is_but_for_what_is_changed() -> None:
    text = (ROOT / "inputs/workshop.toml").read_text(encoding="utf-8")
    FILE.write_text(text)
    for table in actions.block_tables():
        actions.blocks_save(table, typed(table))
    assert FILE.read_text() == text
    actions.blocks_save("merchant", {**typed("merchant"), "1.cut_charge": "2.10"})
    assert FILE.read_text() == text.replace("cut_charge = 1.80\n", "cut_charge = 2.10\n", 1)


def test_blocks_come_and_go_with_the_comments_of_the_others() -> None:
    FILE.write_text('# ours\n[[merchant]]\nname = "A"  # the near one\ndelivery = 5\n\n[[merchant]]\nname = "B"\n')
    actions.blocks_save("merchant", {"2.out": "yes", "1.delivery": "", "3.name": "C", "3.delivers": "yes"})
    text = FILE.read_text()
    assert text.startswith('# ours\n[[merchant]]\nname = "A"  # the near one\n')
    assert tomllib.loads(text)["merchant"] == [{"name": "A"}, {"name": "C", "delivers": True}]
    actions.blocks_save("merchant", {"1.out": "yes", "2.out": "yes"})
    assert "merchant" not in tomllib.loads(FILE.read_text())


def test_a_list_is_written_as_such() -> None:
    section = {"1.name": "Hat 20", "1.thickness": "2", "1.legs": "20, 40, 20"}
    section |= {"1.height": "40", "1.width": "20", "1.mass_per_m": "1.20"}
    actions.blocks_save("section", section)
    (block,) = tomllib.loads(FILE.read_text())["section"]
    assert block["legs"] == ["20", "40", "20"]
    assert typed("section")["1.legs"] == "20, 40, 20"


def test_what_would_be_wrong_is_refused_and_not_written() -> None:
    before = FILE.read_bytes()
    with pytest.raises(ProblemsFound, match="no name"):
        actions.blocks_save("merchant", {"1.delivery": "5"})
    with pytest.raises(ProblemsFound) as refused:
        actions.blocks_save("merchant", {"1.name": "Yard", "1.delivery": "dear"})
    assert 'merchant 1, key "delivery"' in refused.value.problems[0].where
    assert FILE.read_bytes() == before


def test_saws_are_blocks_where_the_file_has_no_table_of_one_saw() -> None:
    FILE.write_text('[[saw]]\nname = "mitre saw"\nfamilies = "SHS, RHS"\n')
    actions.blocks_save("saw", {"2.name": "band saw", "2.kerf": "1.2 mm", "2.families": "CHS"})
    assert tomllib.loads(FILE.read_text())["saw"][1] == {"name": "band saw", "kerf": "1.2 mm", "families": "CHS"}
    assert "saw.kerf" not in {key.name for key in actions.workshop_keys()[1]}
    FILE.write_text("[saw]\nkerf = 2\n")
    with pytest.raises(ProblemsFound):
        actions.blocks_save("saw", {"1.name": "band saw"})
    assert FILE.read_text() == "[saw]\nkerf = 2\n"
