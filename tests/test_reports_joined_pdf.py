"""Documents joined are all their pages, outline and tags in one, read back by a library that knows nothing of it."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader

from cutplan.reports.paper import press
from cutplan.reports.paper.joined_pdf import joined
from cutplan.reports.paper.packing import packed
from cutplan.reports.paper.plan_pdf import plan_data
from cutplan.reports.rows import rows_of
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import trailer

HARD = "U1x0y0 (see 12 0 R) /StructParents 3"
"""A name that reads like what is renumbered in a document."""


def set_apart(name: str) -> bytes:
    job = builders.job([builders.part(HARD, 1, 900), builders.part("B", 1, 700)], [builders.offer("P1", 2000, 9)])
    rows = rows_of(*((job, hand_plan(job, ("P1", [HARD, "B"]))) if name == "hard" else trailer()))
    return press.typeset("plan", plan_data(rows, "0a1b2c3d"))


@pytest.fixture(scope="module")
def pieces() -> list[bytes]:
    return [set_apart("trailer"), set_apart("hard"), set_apart("hard")]


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf), strict=True)


def outline(pdf: PdfReader, items: Any = None) -> list[Any]:
    """Titles with the number of their page, entries below them in lists of their own."""
    found: list[Any] = []
    for item in pdf.outline if items is None else items:
        if isinstance(item, list):
            found.append(outline(pdf, item))
        else:
            found.append((str(item.title), pdf.get_destination_page_number(item)))
    return found


def shifted(items: list[Any], pages: int) -> list[Any]:
    return [shifted(item, pages) if isinstance(item, list) else (item[0], item[1] + pages) for item in items]


def root_of(pdf: PdfReader) -> Any:
    return pdf.trailer["/Root"]


def tags(pdf: PdfReader) -> list[Any]:
    """Every tag in the order of reading: depth, kind, alternative text, page, marked content, names of its cells."""
    references = [page.indirect_reference for page in pdf.pages]
    pages = {each.idnum: number for number, each in enumerate(references) if each is not None}
    found: list[Any] = []

    def walk(element: Any, depth: int, parent: Any) -> None:
        assert element.raw_get("/P").idnum == parent.idnum, "every tag names the one it stands in"
        held = [kid for kid in element["/K"] if isinstance(kid, int)]
        page = pages[element.raw_get("/Pg").idnum] if "/Pg" in element else None
        named = [str(element.get("/ID", ""))]
        named += [str(name) for each in element.get("/A", []) for name in each.get_object().get("/Headers", [])]
        found.append((depth, element["/S"], str(element.get("/Alt", "")), page, held, named))
        for kid in element["/K"]:
            if not isinstance(kid, int):
                walk(kid.get_object(), depth + 1, element.indirect_reference)

    root = root_of(pdf)["/StructTreeRoot"]
    (document,) = root["/K"]
    walk(document.get_object(), 0, root.indirect_reference)
    return found


def test_one_document_is_as_it_was(pieces: list[bytes]) -> None:
    alone, plain = reader(joined(pieces[:1])), reader(packed(pieces[0]))
    assert [page.extract_text() for page in alone.pages] == [page.extract_text() for page in plain.pages]
    assert (outline(alone), tags(alone)) == (outline(plain), tags(plain))


@pytest.mark.thorough
def test_pages_follow_one_another(pieces: list[bytes]) -> None:
    whole, apart = reader(joined(pieces)), [reader(piece) for piece in pieces]
    assert [page.extract_text() for page in whole.pages] == [p.extract_text() for one in apart for p in one.pages]
    assert whole.metadata == apart[0].metadata
    assert f"<xmpTPg:NPages>{len(whole.pages)}<".encode() in root_of(whole)["/Metadata"].get_data()


@pytest.mark.thorough
def test_the_outline_leads_to_the_pages_of_every_piece(pieces: list[bytes]) -> None:
    whole, apart = reader(joined(pieces)), [reader(piece) for piece in pieces]
    wanted, pages = [], 0
    for one in apart:
        wanted += shifted(outline(one), pages)
        pages += len(one.pages)
    assert outline(whole) == wanted
    root = root_of(whole)["/Outlines"]
    entry, backwards = root["/Last"], 1
    while "/Prev" in entry:
        entry, backwards = entry["/Prev"], backwards + 1
    assert backwards == root["/Count"] == sum(isinstance(item, tuple) for item in wanted)


def test_tags_are_those_of_the_pieces(pieces: list[bytes]) -> None:
    whole, apart = tags(reader(joined(pieces))), [reader(piece) for piece in pieces]
    wanted, pages = [], 0
    for one in apart:
        for depth, kind, alt, page, held, named in tags(one)[1:]:
            wanted.append((depth, kind, alt, None if page is None else page + pages, held, named))
        pages += len(one.pages)
    bare = [(*tag[:5], [name.split("U")[-1] for name in tag[5]]) for tag in whole[1:]]
    assert bare == [(*tag[:5], [name.split("U")[-1] for name in tag[5]]) for tag in wanted]
    assert any(HARD in tag[2] for tag in whole)


def test_every_page_finds_its_tags(pieces: list[bytes]) -> None:
    whole = reader(joined(pieces))
    tree = root_of(whole)["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    assert [int(number) for number in tree[::2]] == list(range(len(whole.pages)))
    parents: list[Any] = [page["/StructParents"] for page in whole.pages]
    assert parents == list(range(len(whole.pages)))
    for page, elements in zip(whole.pages, tree[1::2], strict=True):
        for marked, element in enumerate(elements.get_object()):
            assert marked in element.get_object()["/K"]
            assert element.get_object().raw_get("/Pg") == page.indirect_reference


def test_a_cell_is_found_by_its_name(pieces: list[bytes]) -> None:
    whole = reader(joined(pieces))
    names = root_of(whole)["/StructTreeRoot"]["/IDTree"]["/Names"]
    known = [str(name) for name in names[::2]]
    assert known == sorted(set(known)), "a name tree is sorted and no name is there twice"
    by_name = {str(name): element.get_object()["/ID"] for name, element in zip(names[::2], names[1::2], strict=True)}
    assert all(name == stated for name, stated in by_name.items())
    heads = {name for tag in tags(whole) for name in tag[5][1:]}
    assert heads
    assert heads <= by_name.keys()


def test_the_same_bytes_twice(pieces: list[bytes]) -> None:
    assert joined(pieces) == joined(iter(pieces))


def test_what_the_typesetter_does_not_write_is_a_fault() -> None:
    odd = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n"
    table = b"xref\n0 2\n0000000000 65535 f \n0000000009 00000 n \ntrailer\n<</Size 2/Info 1 0 R>>\n"
    odd += table + b"startxref\n%d\n%%%%EOF" % len(odd)
    with pytest.raises(ValueError, match="without its catalogue"):
        joined([odd])
