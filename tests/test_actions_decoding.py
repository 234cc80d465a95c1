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
