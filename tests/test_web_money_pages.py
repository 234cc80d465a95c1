"""What a planned job costs, and its quote, on a page: the words of the commands, and the same files."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from tests.benches import JOB, PLAN, browser, words
from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("parts_planned")
MONEY = f"{JOB}/money"


def pre(page: str) -> list[str]:
    """The texts of a page that stand as a terminal shows them."""
    return [
        html.unescape(text).strip() for text in re.findall(r'<pre class="told" role[^>]*>(.*?)</pre>', page, re.DOTALL)
    ]


def costs(page: str) -> list[dict[str, str]]:
    """The lines of the table of costs, as ``cost --json`` gives them."""
    found, block = [], ""
    for row in re.findall(
        r"<tr[^>]*>(.*?)</tr>", page.split('<table class="sums">')[1].split("</table>")[0], re.DOTALL
    ):
        if "rowgroup" in row:
            block = words(row)
            continue
        what, how, amount = re.findall(r"<td>(.*?)<small>(.*?)</small></td><td[^>]*>(.*?)</td>", row, re.DOTALL)[0]
        is_sum = "<b>" in what
        texts = (html.unescape(words(each)) for each in (what, how, amount))
        found.append(dict(zip(("block", "what", "how", "amount"), ("" if is_sum else block, *texts), strict=True)))
    return found


def test_the_cost_is_the_one_of_the_command_and_looking_writes_nothing() -> None:
    before = sorted(Path().rglob("*"))
    with browser() as at:
        page = at.get(MONEY).text
        assert "Cost and quote" in words(at.get(JOB).text)
    assert sorted(Path().rglob("*")) == before
    assert costs(page) == document(run("cost", str(PLAN), "--json"))["rows"]
    shown = run("cost", str(PLAN)).stdout.splitlines()
    rest = shown[shown.index("Surface and mass, by finish and assembly:") :]
    assert len(rest) > 3
    assert [line for line in rest if line.strip() not in html.unescape(words(page))] == []


def test_a_cost_with_another_transport_is_written_and_downloaded() -> None:
    with browser() as at:
        page = at.post(f"{JOB}/cost", data={"transport": "40.00"}).text
        (told,) = pre(page)
        assert told == "Written: cost.pdf, cost.xlsx"
        assert 'name="transport" value="40.00"' in page
        assert at.get(f"{JOB}/file/cost.pdf").content[:5] == b"%PDF-"
        assert at.get(f"{JOB}/file/cost.xlsx").content[:2] == b"PK"
        refused = at.post(f"{JOB}/cost", data={"transport": "a lot"})
    assert costs(page) == document(run("cost", str(PLAN), "--transport", "40.00", "--json"))["rows"]
    assert refused.status_code == 400
    assert 'name="transport" value="a lot"' in refused.text
    assert 'id="why-transport"' in refused.text


def test_a_quote_is_the_one_of_the_command_and_kept_once() -> None:
    run("rack", "add", "SHS 40x40x3", "900")
    sent = {"customer": "A. Smith; Hill Farm", "valid_until": "2099-06-01", "by_assembly": "yes"}
    with browser() as at:
        told = pre(at.post(f"{JOB}/quote", data=sent).text)[0]
        again = pre(at.post(f"{JOB}/quote", data=sent).text)[0]
        files = re.search(r"Written: (.*[.]pdf), ", told)
        assert files
        assert at.get(f"{JOB}/file/{files[1]}").content[:5] == b"%PDF-"
        assert at.get(f"{JOB}/file/quote-none.pdf").status_code == 404
    assert "It is in the ledger already." in again
    options = ["--customer", sent["customer"], "--valid-until", sent["valid_until"], "--by-assembly"]
    assert document(run("quote", str(PLAN), *options, "--json"))["before"]
    shown = run("quote", str(PLAN), *options).stdout.strip()
    assert again.split("Written")[0] == shown.split("Written")[0]


def test_what_a_quote_is_refused_for_is_told_at_its_field() -> None:
    with browser() as at:
        answer = at.post(f"{JOB}/quote", data={"valid_until": "soon", "customer": "Smith", "number": "Q1"})
        assert answer.status_code == 400
        assert at.get("/job/none.csv/money").status_code == 404
    assert 'id="why-valid_until"' in answer.text
    assert 'name="customer" value="Smith"' in answer.text
    assert not list(Path("reports/frame").glob("quote-*"))
