"""The text of a code is read back to what it was made of."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutplan.actions import find_rack
from cutplan.actions.decoding import decode
from cutplan.problems import ProblemsFound
from cutplan.reports.paper.labels import uri

pytestmark = pytest.mark.usefixtures("no_paper")


@given(mark=st.text(min_size=1, max_size=40), copy=st.integers(1, 10**6))
def test_any_mark_comes_back(mark: str, copy: int) -> None:
    try:
        mark.encode()
    except UnicodeEncodeError:
        return
    found = decode(uri("part", plan="0a1b2c3d", mark=mark, copy=str(copy)), find_rack())
    assert found.values == {"plan": "0a1b2c3d", "mark": mark, "copy": str(copy)}


def test_a_code_that_lacks_what_its_kind_needs(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as refused:
        decode("cutplan:offcut?plan=0a1b2c3d", find_rack())
    assert [problem.code for problem in refused.value.problems] == ["command.code"]


def test_a_code_with_the_address_of_a_server_names_the_same() -> None:
    plain, with_address = (
        decode(uri("part", address, plan="0a1b2c3d", mark="T 1/2", copy="2"), find_rack())
        for address in ("", "https://bench:8321")
    )
    assert with_address == plain
    assert uri("rack", "http://10.0.0.5:8321", mark="K7") == "http://10.0.0.5:8321/code/rack?mark=K7"


@pytest.mark.parametrize(
    "text", ["http://[", "https://bench/part?plan=0&mark=A&copy=1", "ftp://bench/code/rack?mark=K7"]
)
def test_what_is_no_code_of_ours_is_refused(text: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        decode(text, find_rack())
    assert [problem.code for problem in refused.value.problems] == ["command.code"]
