"""No file ends in a trace, an abort, ten seconds or a gigabyte; ``python -m tests.fuzz.run`` tries more of them."""

from __future__ import annotations

import csv
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading import read_job
from tests.effort import examples
from tests.first_fit import first_fit_plan
from tests.fuzz.kinds import KINDS, sound_folder
from tests.fuzz.mutations import TOKENS
from tests.input_files import write_xlsx
from tests.source_code import ROOT

FORKED = Path(__file__).parent / "forked_cases.py"

pytestmark = pytest.mark.skipif(os.name != "posix", reason="cases run in forked processes")


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return sound_folder(tmp_path_factory.mktemp("fuzz") / "sound", first_fit_plan)


@pytest.mark.parametrize("kind", KINDS)
def test_the_file_to_begin_with_is_sound(kind: str, sound: Path) -> None:
    """Else every case would be refused for the same reason."""
    KINDS[kind].read(sound)


@pytest.mark.thorough
def test_cases_in_forked_processes() -> None:
    """In a process that has set no page: the typesetter's threads do not come along into a fork, which then waits."""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:xdist", "-p", "no:cacheprovider", str(FORKED)]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)
    assert done.returncode == 0, done.stdout
    assert "3 passed" in done.stdout


CELLS = st.one_of(
    st.text(max_size=20),
    st.sampled_from([token.decode("utf-8", "replace")[:300] for token in TOKENS]),
    st.sampled_from(["SHS 40x40x3", "1200", "2", "45", "long point", "Yard", "each"]),
    st.from_regex(r"[0-9]{1,4}('|\"|mm| m| 1/4\")?( ?[x@+-] ?[0-9]{1,3}(\.[0-9])?)?", fullmatch=True),
)
HEADINGS = ("Mark", "Quantity", "Section", "Length", "Cut A", "Holes", "Depth", "Spares", "Weld shrinkage", "Note")


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
@given(rows=st.lists(st.lists(CELLS, min_size=len(HEADINGS), max_size=len(HEADINGS)), min_size=1, max_size=4))
@settings(max_examples=examples(25), suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
def test_any_texts_in_a_list(suffix: str, tmp_path: Path, rows: list[list[str]]) -> None:
    path = tmp_path / f"list{suffix}"
    if suffix == ".csv":
        with path.open("w", newline="", encoding="utf-8", errors="replace") as file:
            csv.writer(file).writerows([HEADINGS, *rows])
    else:
        from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

        held = [[ILLEGAL_CHARACTERS_RE.sub("?", cell).lstrip("=") for cell in row] for row in rows]
        write_xlsx(path, Parts=(HEADINGS, *held))
    refused: tuple[Problem, ...] = ()
    try:
        read_job(path, stock=["6 m"])
    except ProblemsFound as found:
        refused = found.problems
    assert all(problem.where and problem.accepted for problem in refused)
