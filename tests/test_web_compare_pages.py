"""What a change would cost, on a page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cutplan.web import compare_pages
from cutplan.web.forms import Form
from tests.benches import JOB, browser, words
from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("parts")
COMPARE = f"{JOB}/compare"


def test_what_can_be_changed_is_what_the_job_has() -> None:
    with browser() as at:
        page = at.get(COMPARE).text
        told = words(at.get(JOB).text)
    assert "What would a change cost?" in told
    assert "Yard: 35.40 each" in page
    assert 'placeholder="2.5 mm"' in page
    assert 'name="without Yard"' in page
    assert 'name="one_by_one"' not in page, "there is one list"
    assert 'name="no_rack"' not in page, "there is no rack"


def test_a_job_without_a_list_is_compared_with_nothing() -> None:
    with browser() as at:
        assert at.get("/job/none.csv/compare").status_code == 404
        assert at.get(f"{COMPARE}/events").status_code == 404


def test_a_comparison_that_cannot_begin_leaves_what_was_typed() -> None:
    sent = {"times": "often", "kerf": "1 mm", "price": "9", "row": "2", "without Yard": "yes"}
    with browser() as at:
        answer = at.post(COMPARE, data=sent)
    assert answer.status_code == 400
    assert 'name="kerf" value="1 mm"' in answer.text
    assert 'name="price" value="9"' in answer.text
    assert 'name="without Yard" value="yes" checked' in answer.text
    assert "often" in words(answer.text)


@pytest.mark.thorough
def test_every_row_is_the_one_that_the_command_gives() -> None:
    """And what was asked stays on the form; what cannot be understood is told in its place."""
    with browser() as at:
        row = next(re.finditer(r'<option value="(\d+)"[^>]*>[^<]*19.80 each', at.get(COMPARE).text))[1]
        asked = {"kerf": "1 mm", "carry": "9 m", "row": row, "price": "25.00", "without Yard": "yes"}

        def compared(changes: dict[str, str]) -> str:
            at.post(COMPARE, data=changes)
            search = at.app.state.runs.of("frame.csv/\0compare")  # type: ignore[attr-defined]
            with search.changed:
                assert search.changed.wait_for(lambda: search.done is not None, 120)
            return str(at.get(COMPARE).text)

        page = compared(asked)
        refused = compared({"kerf": "thin"})
    cells = [words(line) for line in page.split("<tbody>")[1].split("</tbody>")[0].split("</tr>")]
    rows = document(
        run(
            "compare",
            "frame.csv",
            "--kerf",
            "1 mm",
            "--carry",
            "9 m",
            "--price",
            f"{row}:25.00",
            "--without",
            "Yard",
            "--json",
        )
    )["rows"]
    assert [line.startswith(one["change"]) for line, one in zip(cells, rows, strict=False)] == [True] * 5
    assert [one["money"] for one in rows] == ["55.2", "55.2", "55.2", "60.4", None]
    assert "55.20 0.00" in cells[1]
    assert "60.40 +5.20" in cells[3]
    assert "no plan" in cells[4]
    assert 'name="kerf" value="1 mm"' in page
    assert 'name="carry" value="9 m"' in page
    assert "thin" in words(refused.split("<form")[0])
    assert 'id="why-kerf"' in refused


DOCK = "Merchant,Section,Length,Price,Per\nDock,SHS 40x40x3,6000,30.00,each\n"


@pytest.mark.thorough
@pytest.mark.parametrize("how", ["also", "quotes"])
def test_another_price_list_of_the_folder_is_a_further_one_or_a_quote(how: str) -> None:
    Path("dock.csv").write_text(DOCK)
    Path("pier.csv").write_text(DOCK.replace("Dock", "Pier").replace("30.00", "41.00"))
    with browser() as at:
        page = at.get(COMPARE).text
        assert "<option>dock.csv</option>" in page
        assert "prices.csv</option>" not in page, "it is the one that is compared with"
        sent = {"also": "dock.csv"} if how == "also" else {"quote dock.csv": "yes", "quote pier.csv": "yes"}
        at.post(COMPARE, data=sent | {"quote /etc/passwd": "yes", "quote frame.csv": "yes"})
        search = at.app.state.runs.of("frame.csv/\0compare")  # type: ignore[attr-defined]
        with search.changed:
            assert search.changed.wait_for(lambda: search.done is not None, 120)
        page = str(at.get(COMPARE).text)
    cells = [words(line) for line in page.split("<tbody>")[1].split("</tbody>")[0].split("</tr>")][:-1]
    options = ["--also", "dock.csv"] if how == "also" else ["--quotes", "dock.csv", "--quotes", "pier.csv"]
    rows = document(run("compare", "frame.csv", *options, "--json"))["rows"]
    assert len(cells) == len(rows) > 1
    assert [line.startswith(one["change"]) for line, one in zip(cells, rows, strict=True)] == [True] * len(rows)
    assert ("selected>dock.csv" in page) == (how == "also")
    assert ('name="quote dock.csv" value="yes" checked' in page) == (how == "quotes")


def test_a_price_list_that_is_not_in_the_folder_is_none_to_compare_with() -> None:
    form = Form({"also": "/etc/passwd", "quote ../x.csv": "yes"})
    assert compare_pages._changes(form) == {}
    assert compare_pages._quotes(form) == []
