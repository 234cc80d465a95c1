"""Labels: a reader of codes, which knows nothing of how they were made, reads every one back from the printed dots."""

from __future__ import annotations

import io
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
import zxingcpp
from PIL import Image
from pypdf import PageObject, PdfReader

from cutplan.model import LABELS, Fate, Job, Plan
from cutplan.reading.lists.part_columns import LONGEST_MARK
from cutplan.reports import extent
from cutplan.reports.lettering import printable
from cutplan.reports.paper import label_sheets, press
from cutplan.reports.paper.label_sheets import label_data
from cutplan.reports.paper.labels import RackPiece, Wanted, labels_of, rack_label, write_labels_pdf
from tests import builders, nested_row
from tests.effort import some
from tests.hand_plans import hand_plan, with_mark
from tests.test_reports_own_rows import BOTH, PLAN
from tests.workbooks import FORMULA_LIKE, LONG, UNICODE, trailer

DOTS = 203
"""Dots per inch of a common roll printer: 8 per millimetre."""


def read_back(data: dict[str, object]) -> Counter[str]:
    found: Counter[str] = Counter()
    for page in press.pictures("labels", data, DOTS):
        picture = Image.open(io.BytesIO(page)).convert("L").point(lambda grey: 255 * (grey > 127))  # a dot or none
        found.update(code.text for code in zxingcpp.read_barcodes(picture))
    return found


def labels_data(job: Job, plan: Plan, fingerprint: str, *, size: str, start: int = 1) -> dict[str, Any]:
    return label_data(labels_of(job, plan, fingerprint), size, job.name, start=start)


@pytest.mark.parametrize("size", some(LABELS, LABELS[0]))
def test_codes_with_the_address_of_a_server_are_read_on_every_size(small_job: Job, small_plan: Plan, size: str) -> None:
    wanted = Wanted(address="https://192.168.100.100:8321")
    made = list(labels_of(small_job, small_plan, "0a1b2c3d", wanted))
    codes = Counter(label.code for label in made)
    assert all(code.startswith("https://192.168.100.100:8321/code/") for code in codes)
    assert read_back(label_data(made, size, small_job.name)) == codes


@pytest.mark.parametrize("size", some(LABELS, LABELS[0]))
def test_every_code_is_read_back_at_203_dots_per_inch(size: str) -> None:
    job, plan = trailer()
    wanted = Counter(label.code for label in labels_of(job, plan, "0a1b2c3d"))
    assert len(wanted) == 7 + sum(bar.drop.length >= 200_000_000 for bar in plan.bars)
    assert read_back(labels_data(job, plan, "0a1b2c3d", size=size)) == wanted


def test_the_text_of_a_code_is_as_documented() -> None:
    job, plan = trailer()
    codes = [label.code for label in labels_of(job, with_mark(plan, 2, "K7"), "0a1b2c3d")]
    assert codes[0] == "cutplan:part?plan=0a1b2c3d&mark=%3DSUM%28A1%3AA9%29&copy=1"
    assert "cutplan:offcut?plan=0a1b2c3d&bar=2&mark=K7" in codes
    marks = {parse_qs(urlsplit(code).query).get("mark", [""])[0] for code in codes if ":part" in code}
    assert marks == {FORMULA_LIKE, LONG, UNICODE}


def small() -> tuple[Job, Plan]:
    job = builders.job(
        [builders.part("A", 2, 500, assembly="gate"), builders.part("B", 1, 300)],
        [builders.offer("O", 1000, 9)],
        [builders.offcut("R1", 800, heat_number="H77")],
        keep=200,
    )
    return job, hand_plan(job, ("O", ["A", "A"]), ("R1", ["B"]))


def lines(label: label_sheets.Label) -> list[str]:
    return [text for _, text in label.lines]


def test_a_label_says_what_the_part_is() -> None:
    job, plan = small()
    first, _, third, left = labels_of(job, with_mark(plan, 2, "K7"), "0a1b2c3d")
    assert (first.mark, first.length) == ("A", "500 mm")
    assert lines(first) == [
        *("SHS 40x40x3", "part 1 of 2, bar 1", "tiny, gate"),
        *("heat number . . . . . . . . . .", "plan 0a1b2c3d"),
    ]
    assert lines(third) == ["SHS 40x40x3", "part 1 of 1, bar 2", "tiny", "heat number H77", "plan 0a1b2c3d"]
    assert (left.mark, left.length) == ("K7", "500 mm")
    assert lines(left) == [
        *("SHS 40x40x3", "left over of bar 2", "far end sawn", "tiny", "heat number H77", "plan 0a1b2c3d")
    ]
    assert list(labels_of(*small(), "0a1b2c3d"))[-1].mark == "left over 2"


def test_a_part_used_sheet_is_gone_on_with() -> None:
    data = labels_data(*small(), "0a1b2c3d", size="70 x 37 mm", start=23)
    assert [(label["page"], label["x"], label["y"]) for label in data["labels"]] == [
        (0, 70, 259.5),
        (0, 140, 259.5),
        (1, 0, 0.5),
        (1, 70, 0.5),
    ]


def test_the_mark_is_the_largest_and_never_cut() -> None:
    placed = labels_data(*trailer(), "0a1b2c3d", size="70 x 37 mm")["labels"]
    marks = {label["mark"]["text"]: label["mark"]["size"] for label in placed}
    assert marks["left over 1"] > 9
    assert {FORMULA_LIKE, LONG, printable(UNICODE)} <= set(marks)


def test_the_file_is_tagged_and_the_same_each_time(tmp_path: Path) -> None:
    files = [tmp_path / name for name in ("one.pdf", "two.pdf")]
    for file in files:
        write_labels_pdf(*small(), file, "0a1b2c3d")
    assert files[0].read_bytes() == files[1].read_bytes()
    reader = PdfReader(files[0])
    root: Any = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert "R1" not in reader.pages[0].extract_text()


def test_the_longest_mark_has_a_code() -> None:
    wrench = "\N{WRENCH}"  # 12 characters when percent-encoded
    mark = f"{wrench * 60}/{wrench * LONGEST_MARK}-OH"
    job = builders.job([builders.part(mark, 1, 900)], [builders.offer("P1", 1000, 9)])
    data = labels_data(job, hand_plan(job, ("P1", [mark])), "0a1b2c3d", size="70 x 37 mm")
    assert len(data["labels"]) == 1


def many(pieces: int) -> tuple[Job, Plan]:
    job = builders.job([builders.part("A", pieces, 500)], [builders.offer("O", 1000, 9)])
    return job, hand_plan(job, *[("O", ["A", "A"])] * (pieces // 2))


def pieces_on(page: PageObject) -> list[str]:
    """Piece and bar of each label on a page, in the order of reading."""
    return re.findall(r"part (\d+) of 50, bar (\d+)", page.extract_text())


@pytest.mark.thorough
def test_labels_set_apart_are_one_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job, plan = many(40)
    write_labels_pdf(job, plan, tmp_path / "one.pdf", "0a1b2c3d", start=5)
    monkeypatch.setattr(label_sheets, "_TOGETHER", 24)
    write_labels_pdf(job, plan, tmp_path / "apart.pdf", "0a1b2c3d", start=5)
    one, apart = (PdfReader(tmp_path / name) for name in ("one.pdf", "apart.pdf"))
    assert len(one.pages) == len(apart.pages) == 2
    assert [page.extract_text() for page in apart.pages] == [page.extract_text() for page in one.pages]


@pytest.mark.thorough
def test_a_file_holds_no_more_than_is_said_and_the_next_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(extent, "MOST_LABELS", 20)
    job, plan = many(50)
    seen: list[object] = []
    for first, held in ((1, 20), (21, 20), (41, 10)):
        write_labels_pdf(job, plan, tmp_path / "labels.pdf", "0a1b2c3d", first=first)
        found = [pair for page in PdfReader(tmp_path / "labels.pdf").pages for pair in pieces_on(page)]
        assert len(found) == held
        seen += found
    assert seen == [(str(piece), str((piece + 1) // 2)) for piece in range(1, 51)]


def test_grade_ends_stamp_and_note_of_a_part() -> None:
    part = builders.part("M", 2, 900, mitres=(45, 0), note="weld inside", stamps=("RK",))
    job = builders.job([part], [builders.offer("O", 2000, 9, grade="S235")])
    first = next(labels_of(job, hand_plan(job, ("O", ["M", "M"])), "0a1b2c3d"))
    assert dict(first.lines)["section"] == "SHS 40x40x3, S235"
    assert dict(first.lines)["ends"] == "ends 45\u00b0 | square"
    assert (dict(first.lines)["stamp"], dict(first.lines)["note"]) == ("stamp RK", "weld inside")


def test_small_parts_share_a_list_for_their_bag() -> None:
    job, plan = small()
    wanted = Wanted(at_least=400_000_000)
    made = list(labels_of(job, plan, "0a1b2c3d", wanted))
    assert [label.mark for label in made] == ["A", "A", "left over 2", "bag"]
    assert made[-1].code == ""
    assert lines(made[-1]) == ["1 x B, 300 mm SHS 40x40x3", "tiny, plan 0a1b2c3d"]


@pytest.mark.parametrize("size", LABELS)
def test_a_left_over_says_how_long_it_is_to_its_long_point_on_the_smallest_label(size: str) -> None:
    """600 mm less a trim of 10, two parts of 300 that share a cut and two kerfs of 3.6; 40 more to the long point."""
    made, bar = nested_row.frame(settings={"keep": 50}), nested_row.row(2)
    plan = nested_row.planned(made, replace(bar, drop=replace(bar.drop, fate=Fate.KEEP)))
    *_, left = labels_data(made, plan, "0a1b2c3d", size=size)["labels"]
    assert "662.8 mm to its long point" in [line["text"] for line in left["lines"]]
    (label,) = [one for one in labels_of(made, plan, "0a1b2c3d") if one.mark == "left over 1"]
    assert "near end 45°, far end mill" in lines(label)


def test_a_left_over_has_the_mark_it_was_given_since() -> None:
    left = list(labels_of(*small(), "0a1b2c3d", Wanted(marks={2: "K9"})))[-1]
    assert (left.mark, left.code) == ("K9", "cutplan:offcut?plan=0a1b2c3d&bar=2&mark=K9")


def test_a_piece_of_the_rack() -> None:
    piece = RackPiece(
        mark="K7", length=500_000_000, section="SHS 40x40x3, EN 10219-2", grade="", finish="black",
        heat_number="H77", ends="", slant="540 mm to its long point",
    )  # fmt: skip
    label = rack_label(piece, small()[0].workshop.printing)
    assert (label.mark, label.length, label.code) == ("K7", "500 mm", "cutplan:rack?mark=K7")
    assert lines(label) == [
        *("SHS 40x40x3, EN 10219-2, grade unknown", "black", "540 mm to its long point", "heat number H77")
    ]


def test_a_label_says_which_unit_its_part_goes_into() -> None:
    """Three stools of two legs, and a spare leg: copies 1 and 2 are of the first stool, copy 7 is of none."""
    leg = builders.part("Leg", 7, 400, assembly="stool", assemblies=3, spares_bought=1)
    job = builders.job([leg], [builders.offer("O", 6000, 9)])
    plan = hand_plan(job, ("O", ["Leg"] * 7))
    said = [dict(label.lines)["job"] for label in labels_of(job, plan, "0a1b2c3d") if label.mark == "Leg"]
    named = [f"{job.name}, stool{unit}" for unit in (" unit 1 of 3", " unit 2 of 3", " unit 3 of 3", "")]
    assert said == [named[0], named[0], named[1], named[1], named[2], named[2], named[3]]


def test_labels_of_one_of_several_jobs() -> None:
    """Its parts in the order in which they are cut, no left over, and its own name where others have the plan's."""
    job, plan = BOTH, PLAN
    whole, own = (list(labels_of(job, plan, "0a1b2c3d", wanted)) for wanted in (Wanted(), Wanted(list_name="gate")))
    assert [label.mark for label in own] == ["gate/A", "gate/A", "gate/B"]
    assert own == [label for label in whole if label.mark.startswith("gate/")]
    assert [dict(label.lines)["job"] for label in own] == ["gate, leaf", "gate, leaf", "gate"]
