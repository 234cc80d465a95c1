"""A packed PDF is the same document in fewer bytes, read back by a library that knows nothing of the packing."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from typing import Any

import pytest
from pypdf import PdfReader

from cutplan.reports.paper import press
from cutplan.reports.paper.packing import packed
from cutplan.reports.paper.plan_pdf import plan_data
from cutplan.reports.rows import rows_of
from tests.workbooks import trailer

_REFERENCE = re.compile(r"(?<=, 0), \d+(?=\))")
"""By which a reference names the document that it belongs to."""


@pytest.fixture(scope="module")
def plain() -> bytes:
    data: Mapping[str, Any] = plan_data(rows_of(*trailer()), "0a1b2c3d")
    return press._set("plan", data, format="pdf", timestamp=0, pdf_standards=["ua-1"])[0]


def every_object(pdf: bytes) -> list[str]:
    """What every object says, in the order of their numbers; of a stream its entries and its content."""
    reader = PdfReader(io.BytesIO(pdf), strict=True)
    assert reader.trailer["/Root"]
    count: Any = reader.trailer["/Size"]
    found: list[Any] = [reader.get_object(number) for number in range(1, int(count))]
    return [f"{_REFERENCE.sub('', repr(one))} {one.get_data() if hasattr(one, 'get_data') else ''}" for one in found]


def test_every_object_is_there_and_says_the_same(plain: bytes) -> None:
    before, after = every_object(plain), every_object(packed(plain))
    assert after[: len(before)] == before
    assert all("/ObjStm" in added or "/XRef" in added for added in after[len(before) :])


@pytest.mark.thorough
def test_the_pages_read_the_same(plain: bytes) -> None:
    before, after = (PdfReader(io.BytesIO(pdf)) for pdf in (plain, packed(plain)))
    assert [page.extract_text() for page in after.pages] == [page.extract_text() for page in before.pages]
    root: Any = after.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert after.metadata == before.metadata


def test_it_is_far_smaller_and_the_same_each_time(plain: bytes) -> None:
    assert len(packed(plain)) < len(plain) / 2
    assert packed(plain) == packed(plain)


@pytest.mark.parametrize(
    ("odd", "told"),
    [
        (b"%PDF-1.7\nstartxref\n9\n%%EOF", "cross-reference table"),
        (
            b"%PDF-1.7\nno object\nxref\n0 2\n0000000000 65535 f \n0000000009 00000 n \n"
            b"trailer\n<</Size 2/Root 1 0 R>>\nstartxref\n19\n%%EOF",
            "no object at byte 9",
        ),
    ],
)
def test_what_the_typesetter_does_not_write_is_a_fault(odd: bytes, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        packed(odd)
