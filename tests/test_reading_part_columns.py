"""Columns of the parts list whose cell alone gives a field: which field, and how rows of one mark are put together."""

from __future__ import annotations

from pathlib import Path

from cutplan.model import Part
from cutplan.reading.lists.part_columns import OWN_COLUMNS, PARTS, all_words
from tests.input_files import job_of, refusal

HEADINGS = ("Mark", "Quantity", "Section", "Length", "Assembly", "Note", "Share mitres")


def test_every_such_column_gives_a_field_of_its_own() -> None:
    fields = [column.field for column in OWN_COLUMNS]
    assert all(fields)
    assert len(set(fields)) == len(fields)
    assert set(fields) <= set(Part.__dataclass_fields__)
    assert len({heading.name for heading in PARTS}) == len(PARTS)


def test_rows_of_one_mark_are_put_together_or_refused(tmp_path: Path) -> None:
    rows = [
        ("A", 1, "SHS 40x40x3", 900, "gate", "left", ""),
        ("A", 2, "SHS 40x40x3", 900, "gate", "right", "yes"),
        ("A", 1, "SHS 40x40x3", 900, "fence", "", ""),
    ]
    (part,) = job_of(tmp_path, (HEADINGS, *rows)).parts
    assert (part.assembly, part.note, part.share_mitres) == ("gate; fence", "left; right", True)
    other = ("A", 1, "SHS 40x40x3", 900, "gate", "", "no")
    assert "with another entry under Share mitres than in row 2" in refusal(tmp_path, (HEADINGS, *rows, other))


def test_texts_are_kept_once() -> None:
    assert all_words([("left", 1, 0), ("", 1, 0), ("right", 2, 1), ("left", 3, 0)]) == "left; right"
