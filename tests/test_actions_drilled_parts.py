"""Parts ticked as drilled from the command line, which the page at the drill then shows."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from tests.commands import document, run
from tests.drilled import drilled, drilled_job, hole

pytestmark = pytest.mark.usefixtures("no_paper")

PLAN = "reports/frame/plan.json"
HOLES = "Mark,Face,Position,Hole\nA,1,60,9\nA,2,300,M8 clear\nB,1,40,9\n"


@pytest.fixture
def with_holes(parts: str) -> str:
    """The small list with holes in its four A and two B, planned."""
    Path("frame-holes.csv").write_text(HOLES)
    assert run("plan", parts).exit_code == 0
    return PLAN


def test_one_copy_or_all_are_ticked_and_told(with_holes: str) -> None:
    assert not Path("rack.ledger").exists()
    assert "Ticked as drilled: A copy 2.\nframe: 1 of 6 parts" in run("job", "drilled", PLAN, "A", "--copy", "2").stdout
    said = run("job", "drilled", PLAN, "A").stdout
    assert said.startswith("Ticked as drilled: A copy 1, A copy 3, A copy 4.")
    assert "Nothing was changed" in run("job", "drilled", PLAN, "A").stdout
    assert "No longer ticked as drilled: A copy 4." in run("job", "drilled", PLAN, "A", "--copy", "4", "--back").stdout
    shown = document(run("job", "show", PLAN, "--json"))
    assert (shown["drilled"], shown["stage"]) == ({"A": 3}, "planned")
    assert "Drilled: 3 x A." in run("job", "show", PLAN).stdout


@pytest.mark.parametrize(
    ("words", "refused"),
    [
        (("C",), "C, which is not to drill"),
        (("A", "--copy", "9"), "copy 9 of A"),
    ],
)
def test_what_is_not_to_drill_is_refused_and_begins_no_ledger(
    with_holes: str, words: tuple[str, ...], refused: str
) -> None:
    result = run("job", "drilled", PLAN, *words)
    assert result.exit_code == 1
    assert refused in result.stderr
    assert not Path("rack.ledger").exists()


def test_parts_with_landings_alone_are_not_drilled() -> None:
    job, plan = drilled_job(
        drilled("A", hole(60), quantity=2), drilled("B", hole(60, size="")), replace(drilled("C"), mark="C")
    )
    assert actions.to_drill(job, plan) == {"A": (1, 2)}
