"""Labels lie on their sheets, keep off the edge of the paper, and drop words rather than print what nobody can read."""

from __future__ import annotations

import pytest

from cutplan.model import LABELS
from cutplan.reports.lettering import POINT_MM, text_mm
from cutplan.reports.paper.label_sheets import (
    DROPPED,
    FROM_EDGE,
    SHEETS,
    SMALLEST,
    Label,
    fitted,
    label_data,
    words_of,
)
from cutplan.reports.paper.labels import labels_of
from tests.workbooks import trailer


def test_the_sizes_are_those_a_workshop_can_name() -> None:
    assert tuple(SHEETS) == LABELS


@pytest.mark.parametrize("size", LABELS)
def test_labels_lie_on_their_page_and_apart(size: str) -> None:
    sheet = SHEETS[size]
    for axis, count in ((0, sheet.columns), (1, sheet.rows)):
        assert sheet.first[axis] >= 0
        assert sheet.first[axis] + (count - 1) * sheet.step[axis] + sheet.size[axis] <= sheet.page[axis] + 1e-9
        assert count == 1 or sheet.step[axis] >= sheet.size[axis]


@pytest.mark.parametrize("size", LABELS)
def test_words_and_codes_keep_to_their_label_and_off_the_edge_of_the_paper(size: str) -> None:
    """A whole sheet of them; on a roll the label is the paper, and its format says why words go nearer the edge."""
    job, plan = trailer()
    sheet = SHEETS[size]
    made = list(labels_of(job, plan, "0a1b2c3d")) * 5
    data = label_data(made[: sheet.per_page], size, job.name)
    for label in data["labels"]:
        left, top, right, bottom = label["inside"]
        room = data["size"][0] - left - right - label["code-room"]
        assert text_mm(label["mark"]["text"], label["mark"]["size"], bold=True) <= room
        assert all(text_mm(line["text"], line["size"]) <= room for line in label["lines"][1:])
        height = sum(line["size"] for line in (label["mark"], *label["lines"])) * 1.2 * POINT_MM
        assert height <= data["size"][1] - top - bottom, label["mark"]
        assert all(line["size"] >= 5 for line in (label["mark"], *label["lines"]))
        edges = (
            label["x"] + left, label["y"] + top,
            sheet.page[0] - label["x"] - data["size"][0] + right, sheet.page[1] - label["y"] - data["size"][1] + bottom,
        )  # fmt: skip
        assert sheet.to_the_edge or min(edges) >= FROM_EDGE - 1e-9


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("far end mill, ~54 57/64 in to its long point", "far end mill,…"),
        ("far end mill, 1234567890123", "far end mill,…"),
        ("far end mill, to its long point", "far end mill, to its l…"),
    ],
)
def test_what_is_too_wide_loses_its_end_but_never_a_part_of_a_figure(text: str, shown: str) -> None:
    assert fitted(text, text_mm("far end mill, ~54 57…", 5), (5.0,))["text"] == shown


FULL = Label(
    code="", mark="T1", length="1200 mm", lines=(("section", "SHS 40x40x3"), *((field, field) for field in DROPPED))
)


@pytest.mark.parametrize("kept", range(len(DROPPED) + 1))
def test_lines_are_dropped_in_the_stated_order(kept: int) -> None:
    """In a height for mark, length, section and so many lines in the smallest letters, just these stay."""
    height = (14 + 10 + SMALLEST * (1 + kept)) * 1.2 * POINT_MM + 0.01
    _, lines = words_of(FULL, 100, height)
    assert [line["text"] for line in lines] == ["1200 mm", "SHS 40x40x3", *DROPPED[len(DROPPED) - kept :]]
