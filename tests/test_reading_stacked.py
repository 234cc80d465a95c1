"""Several sheets of a workbook as one list: rows in their places, assemblies by sheet, what cannot be put together."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from tests.input_files import PRICES, job_of, refusal, write_xlsx

SHS = "SHS 40x40x3"
GATE = (("Qty", "Section", "Length", "Mark"), (2, SHS, 1200, "G1"), (3, SHS, 900, "G2"))
FRAME = (("Batch of frames",), (), ("Mark", "Length", "Section", "Quantity"), ("F1", 700, SHS, 4))


def book(folder: Path, *args: Any, **sheets: Any) -> Path:
    return write_xlsx(folder / "bench.xlsx", *args, **sheets)


def lines(job: Any) -> list[tuple[str, int, int, str, int]]:
    return [(part.mark, part.quantity, part.length // 1_000_000, part.assembly, part.row) for part in job.parts]


def test_each_sheet_is_an_assembly_and_counts_its_own_rows(tmp_path: Path) -> None:
    job = job_of(tmp_path, book(tmp_path, Gate=GATE, Frame=FRAME))
    assert lines(job) == [("G1", 2, 1200, "Gate", 2), ("G2", 3, 900, "Gate", 3), ("F1", 4, 700, "Frame", 4)]
    assert [(warning.where, warning.found) for warning in job.warnings if warning.code.startswith("sheet.")] == [
        ("bench.xlsx", 'the headings on sheets "Gate" and "Frame", read as one list')
    ]


def test_a_column_says_the_assembly_where_a_sheet_has_one(tmp_path: Path) -> None:
    own = ((*GATE[0], "Assembly"), (*GATE[1], "leaf"), (*GATE[2], ""))
    job = job_of(tmp_path, book(tmp_path, Gate=own, Frame=FRAME))
    assert [part.assembly for part in job.parts] == ["leaf", "", "Frame"]


def test_an_assembly_row_without_a_name_is_of_its_sheet(tmp_path: Path) -> None:
    job = job_of(tmp_path, book(tmp_path, Gate=(*GATE, (6, "assembly", None, None)), Frame=FRAME))
    assert [(part.mark, part.quantity) for part in job.parts] == [("G1", 12), ("G2", 18), ("F1", 4)]


def test_one_sheet_is_chosen_by_name(tmp_path: Path) -> None:
    path = book(tmp_path, Gate=GATE, Frame=FRAME, Prices=PRICES)
    job = actions.read_job(path, sheet=" frame")
    assert [(part.mark, part.assembly) for part in job.parts] == [("F1", "")]
    assert not job.warnings
    with pytest.raises(ProblemsFound) as refused:
        actions.read_job(path, sheet="Door")
    assert str(refused.value).startswith(
        'bench.xlsx: found no sheet "Door".\nAccepted: a sheet of parts: "Gate", "Frame"'
    )


def test_a_text_has_no_sheets(tmp_path: Path) -> None:
    (tmp_path / "parts.csv").write_text(f"Quantity,Section,Length\n1,{SHS},900\n", encoding="utf-8")
    with pytest.raises(ProblemsFound, match="a text has none"):
        actions.read_job(tmp_path / "parts.csv", sheet="Gate")


def test_every_problem_is_placed_on_its_sheet(tmp_path: Path) -> None:
    bad = ((*FRAME[2],), ("F1", "7OO", SHS, 4), ("G2", 700, SHS, 1))
    told = refusal(tmp_path, book(tmp_path, Gate=(*GATE, (0, SHS, 100, "G3")), Frame=bad))
    assert 'bench.xlsx, sheet "Gate", row 4, column A "Qty": found "0"' in told
    assert 'bench.xlsx, sheet "Frame", row 2, column B "Length": found "7OO"' in told
    assert told.index('"Gate"') < told.index('"Frame"')
    again = refusal(tmp_path, book(tmp_path, Gate=GATE, Frame=(bad[0], bad[2])))
    assert 'sheet "Frame", row 2, column A "Mark": found "G2" again' in again
    assert 'with another length than in row 3 of sheet "Gate"' in again


def test_an_oddity_names_the_row_of_the_other_sheet(tmp_path: Path) -> None:
    other = (FRAME[2], ("g-1", 700, SHS, 4))
    job = job_of(tmp_path, book(tmp_path, Gate=GATE, Frame=other))
    (odd,) = (warning for warning in job.warnings if warning.code == "odd.marks")
    assert odd.where == 'bench.xlsx, sheet "Frame", row 2, column A "Mark"'
    assert odd.found == '"g-1", which reads like "G1" in row 2 of sheet "Gate", another part'


def test_the_same_mark_on_two_sheets_is_one_part(tmp_path: Path) -> None:
    with_column = [((*GATE[0], "Assembly"), (*GATE[1], "leaf")), ((*GATE[0], "Assembly"), (*GATE[1], "leaf"))]
    job = job_of(tmp_path, book(tmp_path, Left=with_column[0], Right=with_column[1]))
    assert [(part.mark, part.quantity) for part in job.parts] == [("G1", 4)]
    (copy,) = (warning for warning in job.warnings if warning.code == "sheet.copy")
    assert copy.found == 'the same rows as on sheet "Left"; both were read'


def test_a_hidden_sheet_is_not_put_together(tmp_path: Path) -> None:
    path = book(tmp_path, lambda made: setattr(made["Old"], "sheet_state", "hidden"), Gate=GATE, Old=GATE, Frame=FRAME)
    job = job_of(tmp_path, path)
    assert [part.mark for part in job.parts] == ["G1", "G2", "F1"]
    assert "sheet.hidden" in {warning.code for warning in job.warnings}


def test_one_unit_for_a_column(tmp_path: Path) -> None:
    inches = (("Mark", "Length (in)", "Section", "Quantity"), ("F1", 27, SHS, 4))
    told = refusal(tmp_path, book(tmp_path, Gate=GATE, Frame=inches))
    place = 'bench.xlsx, sheet "Frame", row 1, column B "Length (in)"'
    assert told.startswith(f'{place}: found "Length (in)", while sheet "Gate" has "Length".')


def test_a_heading_without_a_unit_is_in_the_workshops(tmp_path: Path) -> None:
    named = (("Mark", "Length (mm)", "Section", "Quantity"), ("F1", 700, SHS, 4))
    for sheets in ({"Gate": GATE, "Frame": named}, {"Frame": named, "Gate": GATE}):
        job = job_of(tmp_path, book(tmp_path, **sheets))
        assert {part.mark: part.length // 1_000_000 for part in job.parts} == {"G1": 1200, "G2": 900, "F1": 700}
    assert 'found "Length' in refusal(tmp_path, book(tmp_path, **sheets), workshop='[workshop]\nunit = "in"\n')


def test_a_ditto_mark_never_reaches_to_the_sheet_before(tmp_path: Path) -> None:
    ditto = (FRAME[2], ("F1", 700, "ditto", 4))
    path = book(tmp_path, Gate=GATE, Frame=ditto)
    told = refusal(tmp_path, path, workshop='[lists]\nrepeat_above = "marks"\n')
    assert 'sheet "Frame", row 2, column C "Section": found "ditto".\nAccepted: a section in the cell above' in told


def test_cells_merged_down_and_errors_keep_their_sheet(tmp_path: Path) -> None:
    frame = (
        ("Mark", "Length", "Section", "Quantity"),
        ("F1", 700, SHS, 4),
        ("F2", 600, None, 2),
        ("F3", "#REF!", SHS, 1),
    )

    def change(made: Any) -> None:
        made["Frame"].merge_cells("C2:C3")
        made["Frame"]["B4"].data_type = "e"

    told = refusal(tmp_path, book(tmp_path, change, Gate=GATE, Frame=frame))
    assert told.startswith('bench.xlsx, sheet "Frame", row 4, column B "Length": found the error #REF!')
    assert told.count(": found") == 1


def test_holes_of_a_sheet_of_their_own_reach_every_list(tmp_path: Path) -> None:
    holes = (("Mark", "Hole", "Position"), ("G1", 9, 100), ("F1", 9, 200))
    job = job_of(tmp_path, book(tmp_path, Gate=GATE, Frame=FRAME, Holes=holes))
    assert [(part.mark, len(part.holes)) for part in job.parts] == [("G1", 1), ("G2", 0), ("F1", 1)]


def test_headings_of_one_sheet_do_not_make_several(tmp_path: Path) -> None:
    job = job_of(tmp_path, book(tmp_path, Gate=GATE, Notes=(("call the yard",),)))
    assert [part.assembly for part in job.parts] == ["", ""]


def test_allowances_above_the_headings_are_those_of_every_sheet(tmp_path: Path) -> None:
    above = (("Grinding: 1 mm",),)
    job = job_of(tmp_path, book(tmp_path, Gate=(*above, *GATE), Frame=(*above, *FRAME)))
    assert {part.length % 100_000_000 for part in job.parts} == {1_000_000}
    told = refusal(tmp_path, book(tmp_path, Gate=(*above, *GATE), Frame=FRAME))
    assert told.startswith('bench.xlsx, sheet "Frame": found allowances above the headings that are not those')


def test_as_a_folder_it_is_one_list_with_the_same_parts(tmp_path: Path) -> None:
    path = book(tmp_path, Gate=GATE, Frame=FRAME)
    job = job_of(tmp_path, path)
    made = actions.convert(path, tmp_path / "folder", stock=["6 m"])
    again = actions.read_job(made[0], stock=["6 m"])
    assert [(p.mark, p.quantity, p.length, p.assembly) for p in again.parts] == [
        (p.mark, p.quantity, p.length, p.assembly) for p in job.parts
    ]
