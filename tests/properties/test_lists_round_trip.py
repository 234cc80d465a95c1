"""A well-formed list gives the same parts as csv and as xlsx; anything at all is read or refused in words."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.input_files import job_of, refusal

SECTIONS = ("SHS 40x40x3", "RHS 60x40x3", "CHS 48.3x3.2", "EA 50x50x5", "FL 50x6", "RD 12")
PRICES = (("Merchant", "Section", "Length"), *(("Yard", name, 12000) for name in SECTIONS))
HEADINGS = {
    "Mark": ("Mark", "Item no.", "PART NO"),
    "Quantity": ("Quantity", "Qty", "No. off"),
    "Section": ("Section", "profile", "Size"),
    "Length": ("Length", "Cut length", "LENGTH (mm)"),
    "Cut A": ("Cut A", "angle a"),
    "Note": ("Note", "Remarks"),
}
words = st.text(
    st.characters(codec="utf-8", exclude_categories=("C", "Z"), exclude_characters="=#"), min_size=1, max_size=8
)
lengths = st.one_of(
    st.integers(1, 11_000),
    st.integers(1, 11_000).map(lambda whole: whole + 0.5),
    st.integers(1, 5_000).map(lambda n: f"{n} mm"),
    st.integers(1, 35).map(lambda feet: f"{feet}' 4 1/8\""),
)
rows = st.fixed_dictionaries(
    {
        "Quantity": st.integers(1, 500),
        "Section": st.sampled_from(SECTIONS),
        "Length": lengths,
        "Cut A": st.just(""),
        "Note": st.one_of(st.just(""), words, st.just("=A1+1")),
    }
)


@st.composite
def lists(draw: st.DrawFn) -> tuple[tuple[Any, ...], ...]:
    parts = draw(st.lists(rows, min_size=1, max_size=6))
    marks = draw(st.lists(words, min_size=len(parts), max_size=len(parts), unique=True))
    order = draw(st.permutations(list(HEADINGS)))
    names = [draw(st.sampled_from(HEADINGS[name])) for name in order]
    filled = [{"Mark": mark, **part} for mark, part in zip(marks, parts, strict=True)]
    titles = [("Cutting list",), ()][: draw(st.integers(0, 2))]
    return (*titles, tuple(names), *(tuple(part[name] for name in order) for part in filled))


@settings(max_examples=examples(25), deadline=None)
@given(lists())
def test_csv_and_xlsx_give_the_same_parts(rows: tuple[tuple[Any, ...], ...]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        # A note that begins with = is a formula to the program that writes the workbook, and has no stored value there.
        plain = tuple(tuple("" if cell == "=A1+1" else cell for cell in row) for row in rows)
        as_csv = job_of(Path(folder), plain, prices=PRICES)
        as_xlsx = job_of(Path(folder), plain, prices=PRICES, suffix=".xlsx")
        assert as_csv.parts == as_xlsx.parts
        assert as_csv.warnings == () or [w.found for w in as_csv.warnings] == [w.found for w in as_xlsx.warnings]
        heading = next(row for row in rows if len(row) == len(HEADINGS))
        body = rows[rows.index(heading) + 1 :]
        column = [name.lower() for name in heading].index
        mark = next(column(name.lower()) for name in HEADINGS["Mark"] if name.lower() in map(str.lower, heading))
        assert [part.mark for part in as_csv.parts] == [row[mark] for row in body]
        assert sum(part.quantity for part in as_csv.parts) == sum(
            next(cell for cell, name in zip(row, heading, strict=True) if name in HEADINGS["Quantity"]) for row in body
        )


cells = st.one_of(
    st.text(max_size=12), st.integers(-10, 10**12), st.floats(), st.sampled_from(["", "SHS 40x40x3", "1200", "=1", '"'])
)


@settings(max_examples=examples(40), deadline=None)
@given(st.lists(st.lists(cells, max_size=7), max_size=6), st.sampled_from(list(HEADINGS)))
def test_any_csv_is_read_or_refused_in_words(body: list[list[Any]], repeated: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        refusal(Path(folder), [[*HEADINGS, repeated], *body], prices=PRICES)


@settings(max_examples=examples(40), deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused_in_words(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for name in ("parts.csv", "parts.xlsx"):
            path = Path(folder) / name
            path.write_bytes(data)
            refusal(Path(folder), path)
        (Path(folder) / "workshop.toml").write_bytes(data)


@settings(max_examples=examples(40), deadline=None)
@given(st.text(max_size=60), st.sampled_from(["saw.kerf", "keep.SHS", "tax.percent", "workshop.currency", "x.y"]))
def test_any_text_in_a_workshop_file_is_read_or_refused_in_words(text: str, key: str) -> None:
    table, name = key.split(".")
    with tempfile.TemporaryDirectory() as folder:
        refusal(Path(folder), workshop=f"[{table}]\n{name} = {text}\n".encode("utf-8", "ignore").decode())
        refusal(Path(folder), workshop=text.encode("utf-8", "ignore").decode())
