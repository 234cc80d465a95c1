"""On which of two saws a part is cut: what its row says, else the first saw that takes it."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.checking import check
from cutplan.model import CutBar, Job, Workshop
from cutplan.problems import ProblemsFound
from cutplan.units import MM
from tests.input_files import write_csv

SAWS = """
[[saw]]
name = "mitre saw"
kerf = 2.5
families = "SHS, RHS, FL"
largest = 60
steepest = 45

[[saw]]
name = "band saw"
kerf = 1.2
end_trim = 5
safe_hold = 200
steepest = 30
families = "SHS, RHS, CHS, BEAM"
largest = "200 mm"
"""
HEADINGS = ("Mark", "Quantity", "Section", "Length", "Cut A", "Cut B", "Saw")
SOLD = ("SHS 40x40x3", "SHS 80x80x4", "FL 80x5", "CHS 48.3x3.2", "EA 50x50x5", "RHS 300x100x8")


def read(
    folder: Path, rows: list[tuple[object, ...]], shop: str = SAWS, rack: tuple[int, ...] = (), **more: int
) -> Job:
    """Rows of section, length, angle of both ends, saw, two of each; six metres of everything is sold at 40."""
    parts = [HEADINGS, *((f"P{n}", 2, what, long, a, a, saw) for n, (what, long, a, saw) in enumerate(rows, 1))]
    available = more.get("available", "")
    prices = [
        ("Merchant", "Section", "Length", "Price", "Per", "Available"),
        *(("Yard", name, "6 m", 40, "each", available) for name in SOLD),
    ]
    pieces = [("Mark", "Section", "Length"), *((f"R{n}", "SHS 40x40x3", length) for n, length in enumerate(rack, 1))]
    (folder / "workshop.toml").write_text(shop, encoding="utf-8")
    return actions.read_job(
        write_csv(folder / "gate.csv", parts),
        prices=write_csv(folder / "prices.csv", prices),
        rack=write_csv(folder / "rack.csv", pieces) if rack else None,
    )


@pytest.mark.parametrize(
    ("section", "angle", "typed", "saw"),
    [
        ("SHS 40x40x3", "", "", "mitre saw"),  # both take it: the first does
        ("SHS 40x40x3", 45, "", "mitre saw"),
        ("SHS 40x40x3", "", "Band  Saw", "band saw"),
        ("SHS 80x80x4", "", "", "band saw"),  # too large for the first
        ("SHS 80x80x4", 30, "", "band saw"),
        ("CHS 48.3x3.2", "", "", "band saw"),  # not of the families of the first
    ],
)
def test_the_saw_of_a_part(section: str, angle: object, typed: str, saw: str, tmp_path: Path) -> None:
    assert read(tmp_path, [(section, 1200, angle, typed)]).parts[0].saw == saw


@pytest.mark.parametrize(
    ("section", "angle", "typed", "where", "found", "accepted"),
    [
        ("EA 50x50x5", "", "", "Section", "no saw takes: mitre saw takes SHS, RHS, FL alone; band saw takes SHS, RHS, ",
         "a part that one of the saws takes"),
        ("SHS 80x80x4", 45, "", "Section", "takes sides up to 60 mm; band saw cuts up to 30°", "of the saws"),
        ("FL 80x5", "", "", "Section", "sides up to 60 mm; band saw takes SHS, RHS, CHS, BEAM alone", "saws"),
        ("SHS 40x40x3", 45, "band saw", "Saw", "which band saw does not take: band saw cuts up to 30°", "another saw"),
        ("RHS 300x100x8", "", "band saw", "Saw", "band saw takes sides up to 200 mm", "another saw"),
        ("SHS 40x40x3", "", "hacksaw", "Saw", '"hacksaw"', "one of mitre saw, band saw, or an empty cell"),
    ],
)  # fmt: skip
def test_a_part_that_its_saw_does_not_take_is_refused_with_the_reason(
    section: str, angle: object, typed: str, where: str, found: str, accepted: str, tmp_path: Path
) -> None:
    with pytest.raises(ProblemsFound) as raised:
        read(tmp_path, [("SHS 40x40x3", 500, "", ""), (section, 1200, angle, typed)])
    (problem,) = raised.value.problems
    assert problem.code == "part.saw"
    assert where in problem.where
    assert "row 3" in problem.where
    assert found in problem.found
    assert accepted in problem.accepted


def test_a_saw_named_where_there_is_one_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=r"an empty cell, or \[\[saw\]\] blocks"):
        read(tmp_path, [("SHS 40x40x3", 500, "", "band saw")], shop="[saw]\nkerf = 2\n")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ('[[saw]]\nkerf = 2\n', "no name"),
        ('[[saw]]\nname = "a"\n[[saw]]\nname = "A"\n', "each saw in one block"),
        ('[[saw]]\nname = "a"\nfamilies = "tube"\n', "families with commas between, of SHS"),
        ('[[saw]]\nname = "a"\nfamilies = ["SHS", "FLAT"]\n', "did you mean"),
        ('[[saw]]\nname = "a"\nsteepest = 90\n', "0 to 75"),
        ('[[saw]]\nname = "a"\nend_trim = 1\nkerf = 2\n', "an end trim of 1 mm with a kerf of 2 mm"),
        ('[[saw]]\nname = "a"\nteeth = 14\n', "an unknown key"),
        ('[saw]\nname = "a"\n', "an unknown key"),
        ('[saw]\nkerf = 2\n[[saw]]  # the other\nname = "a"\n', "a table [saw] beside blocks [[saw]]"),
        ('[[saw]]\nname = "a"\n[ saw ]\nkerf = 2\n', "or one table [saw] and no blocks"),
        ('saw = [{name = "a"}, 5]\n', 'key "saw": found "a list"'),
    ],
)  # fmt: skip
def test_blocks_that_do_not_hold(text: str, found: str, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as raised:
        read(tmp_path, [("SHS 40x40x3", 500, "", "band saw")], shop=text)
    assert found in str(raised.value)
    assert "saws" not in str(raised.value)
    # Nobody knows yet which saws there are, so that nothing is said of the one that the row names.
    assert {problem.code for problem in raised.value.problems}.isdisjoint({"part.saw"})


def test_a_kerf_said_beside_several_saws_is_refused(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text(SAWS, encoding="utf-8")
    with pytest.raises(ProblemsFound, match="a key of one saw, where several have a block each"):
        actions.read_quick("SHS 40x40x3: 2 @ 500", stock=["6 m"], kerf="2", workshop=tmp_path / "workshop.toml")


ROWS: list[tuple[object, ...]] = [
    ("SHS 40x40x3", 1200, 45, ""),
    ("SHS 40x40x3", 850, "", "band saw"),
    ("SHS 40x40x3", 600, "", ""),
    ("SHS 80x80x4", 1900, "", ""),
]


def test_each_saw_is_planned_as_if_its_parts_were_a_job_of_its_own(tmp_path: Path) -> None:
    job = read(tmp_path, ROWS)
    plan = actions.plan(job)
    assert check(job, plan) == ()
    together = [_as_cut(bar) for bar in plan.bars]
    apart = []
    for saw in ("mitre saw", "band saw"):
        alone = [(*row[:3], saw) for row, part in zip(ROWS, job.parts, strict=True) if part.saw == saw]
        own = read(tmp_path, alone)
        names = {
            part.mark: mark for part, mark in zip(own.parts, [p.mark for p in job.parts if p.saw == saw], strict=True)
        }
        apart += [_as_cut(bar, names) for bar in actions.plan(own).bars]
    assert together == apart
    assert {bar.start_trim for bar in plan.bars} == {10 * MM, 5 * MM}


def _as_cut(bar: CutBar, names: dict[str, str] | None = None) -> object:
    marks = names or {}
    return bar.source, bar.length, bar.cost, [(marks.get(cut.mark, cut.mark), cut.start, cut.kerf) for cut in bar.cuts]


def test_what_is_there_once_goes_to_one_saw_and_is_told(tmp_path: Path) -> None:
    job = read(tmp_path, ROWS, rack=(2600, 900, 700))
    plan = actions.plan(job)
    assert check(job, plan) == ()
    # 3600 mm are wanted at the mitre saw, 1700 at the band saw: 2600 and then, with 1000 left against 1700, 900 and
    # with 1000 against 800 the 700, which no part of the band saw fits: there was no choice, and nothing is told of it.
    assert [text for text in job.assumed if "alone" in text] == [
        "SHS 40x40x3 for mitre saw alone: R1.",
        "SHS 40x40x3 for band saw alone: R2.",
    ]
    used = {
        bar.source: {part.saw for part in job.parts for cut in bar.cuts if cut.mark == part.mark} for bar in plan.bars
    }
    assert (used["R1"], used["R2"]) == ({"mitre saw"}, {"band saw"})


def test_every_saw_is_told_with_its_figures(tmp_path: Path) -> None:
    told = read(tmp_path, ROWS).assumed
    assert "On mitre saw (kerf 2.5 mm, end trim 10 mm, its cut included, holds 120 mm or more): P1, P3." in told
    assert "On band saw (kerf 1.2 mm, end trim 5 mm, its cut included, holds 200 mm or more): P2, P4." in told
    assert not [text for text in told if text.startswith(("Kerf", "End trim", "The vice holds"))]


def test_one_block_is_a_saw_with_a_name(tmp_path: Path) -> None:
    job = read(tmp_path, ROWS[2:3], shop='[[saw]]\nname = "saw"\nkerf = 2\n')
    assert job.workshop == Workshop(saw=job.workshop.saws[0], saws=job.workshop.saws)
    assert job.workshop.saw.kerf == 2 * MM
