"""``code`` says what a label names: a part with its bar, a left over with its mark, a piece of the rack."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
import zxingcpp

from cutplan import actions
from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper")


@pytest.fixture
def plan_number(parts: str) -> str:
    assert run("plan", parts).exit_code == 0
    return actions.fingerprint(Path("reports/frame/plan.json"))


def test_a_part(plan_number: str) -> None:
    text = f"cutplan:part?plan={plan_number}&mark=A&copy=2"
    lines = run("code", text).stdout.splitlines()
    assert lines[0].startswith(f"Part A, copy 2, of plan {plan_number}, bar ")
    assert lines[-1] == f"  plan file: {Path('reports/frame/plan.json')}"
    values = document(run("code", text, "--json"))
    assert (values["kind"], values["mark"], values["copy"], values["section"]) == ("part", "A", "2", "SHS 40x40x3")
    assert values["bar"] >= 1


def test_a_part_of_a_plan_that_is_not_there(plan_number: str) -> None:
    lines = run("code", "cutplan:part?plan=00000000&mark=A&copy=2").stdout.splitlines()
    assert lines == ["Part A, copy 2, of plan 00000000", "  plan file: not in the folder reports"]


def test_a_piece_of_the_rack_and_one_that_went(parts: str) -> None:
    assert run("rack", "add", "SHS 40x40x3", "700", "--place", "B2").exit_code == 0
    assert run("code", "cutplan:rack?mark=a1").stdout.splitlines() == [
        "Piece a1 of the rack",
        "  A1: SHS 40x40x3, black, 700 mm; 1 on the rack at B2",
    ]
    assert run("rack", "scrap", "A1").exit_code == 0
    assert run("code", "cutplan:rack?mark=A1").stdout.endswith("700 mm; no longer on the rack\n")
    assert run("code", "cutplan:rack?mark=Z9").stdout.endswith("Z9: not in the ledger\n")


@pytest.mark.parametrize(
    "text", ["A1", "http:part?plan=1&mark=A&copy=1", "cutplan:part?plan=1&mark=A", "cutplan:part?plan=1&mark=A&copy=x"]
)
def test_what_is_no_code_is_refused(text: str, parts: str) -> None:
    refused = run("code", text)
    assert refused.exit_code == 1
    assert "Accepted: the text of a code" in refused.stderr


@pytest.mark.usefixtures("paper")
def test_the_mark_of_a_left_over_after_recording_and_its_code(parts: str) -> None:
    """Planned without a ledger, recorded, printed again: paper and code have the mark that the rack gave."""
    assert run("plan", parts).exit_code == 0
    recorded = run("record", "reports/frame/plan.json")
    assert "paint this mark on it" in recorded.stdout
    mark = recorded.stdout.split("On the rack: ")[1].split(",")[0]
    bar = recorded.stdout.split("from bar ")[1].split(":")[0]
    assert run("labels", "reports/frame/plan.json").exit_code == 0
    from pypdf import PdfReader

    text = " ".join(page.extract_text() for page in PdfReader("reports/frame/labels.pdf").pages)
    assert mark in text.split()
    number = actions.fingerprint(Path("reports/frame/plan.json"))
    told = run("code", f"cutplan:offcut?plan={number}&bar={bar}&mark={mark}").stdout
    assert told.startswith(f"Left over of bar {bar} of plan {number}")
    assert "1 on the rack" in told


def test_labels_of_the_rack(parts: str) -> None:
    assert run("rack", "add", "SHS 40x40x3", "700", "--quantity", "2").exit_code == 0
    assert run("rack", "labels").stdout.startswith("2 labels: ")
    assert run("rack", "labels", "A1", "--out", "one.pdf").stdout == (
        "1 label: one.pdf. Print at full size, not fitted to the page.\n"
    )
    assert Path("one.pdf").exists()
    assert run("rack", "labels", "Z9").exit_code == 1
    assert document(run("rack", "labels", "--json"))["labels"] == 2


def test_labels_of_the_rack_open_the_page_of_a_server(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read back from the sheet as a phone does, by a reader of codes from outside the project."""
    assert run("rack", "add", "SHS 40x40x3", "700").exit_code == 0
    assert run("rack", "labels", "--address", "http://192.168.0.2:8321/").exit_code == 0
    sheet = pypdfium2.PdfDocument("rack-labels.pdf")[0].render(scale=4).to_pil()
    assert [code.text for code in zxingcpp.read_barcodes(sheet)] == ["http://192.168.0.2:8321/code/rack?mark=A1"]
    refused = run("rack", "labels", "--address", "bench")
    assert "the address of a server" in refused.stderr
