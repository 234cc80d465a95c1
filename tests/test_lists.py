"""Small lists as people type them, each with the job it must give or the messages it must be refused with.

Beside every list in ``lists`` stands what it must give: a line for each part and for each thing that is not cut, then
the warnings; or REFUSED and the exact messages. Each was checked by reading the list itself;
``python -m tests.test_lists NAME`` prints what the program makes of one now.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from cutplan.model import Job, Part
from cutplan.problems import ProblemsFound
from cutplan.reading import read_job
from cutplan.units import angle_text, exact_money_text, kg_text, mm_text

FOLDER = Path(__file__).parent / "lists"
LISTS = sorted(path for path in FOLDER.rglob("*") if path.suffix in (".csv", ".xlsx", ".ods"))


def part_line(part: Part) -> str:
    words = [f"{part.quantity} x {part.mark}", f"{part.section.key}, {mm_text(part.length)} mm"]
    if part.mitred:
        angles = f"{angle_text(part.end_a.angle)}/{angle_text(part.end_b.angle)}"
        words.append(
            f"mitres {angles} across {mm_text(part.depth)}, {part.lean.value}, short {mm_text(part.short_point)}"
        )
    words += [f"heel at {part.heel.value}"] if part.heel.value else []
    words += [f"{mm_text(each.length)} for {each.purpose.value}" for each in part.allowances]
    words += [f"cope: {part.cope}"] if part.cope else []
    words += ["opposite hand"] if part.opposite_hand else []
    words += [f"grade {part.grade}"] if part.grade else []
    words += [part.finish] if part.finish != "black" else []
    words += [f"assembly {part.assembly}"] if part.assembly else []
    words += [f"in {part.assemblies} assemblies"] if part.assemblies > 1 else []
    words += [f"spares {part.spares} free, {part.spares_bought} bought"] if part.spares or part.spares_bought else []
    words += [f"note: {part.note}"] if part.note else []
    return "; ".join(words)


def told(job: Job) -> str:
    lines = [part_line(part) for part in job.parts]
    for other in job.others:
        price = "no price" if other.price_each is None else exact_money_text(other.price_each)
        words = [f"other: {other.quantity} x {other.name}", f"{kg_text(other.mass_each, 3)} kg, {price} each"]
        words += [f"assembly {other.assembly}"] if other.assembly else []
        words += [f"note: {other.note}"] if other.note else []
        lines.append("; ".join(words))
    lines += [f"warning: {' '.join(str(warning).splitlines())}" for warning in job.warnings]
    lines += [f"silenced: {job.silenced}"] if job.silenced else []
    return "\n".join(lines)


def outcome(path: Path) -> str:
    try:
        return told(read_job(path, stock=["12 m"]))
    except ProblemsFound as found:
        return f"REFUSED\n{found}"


def test_there_are_many() -> None:
    assert len(LISTS) >= 40
    wanted = {path.with_suffix(".txt").name for path in LISTS}
    assert wanted == {path.name for path in FOLDER.rglob("*.txt")}


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.stem)
def test_a_list_gives_what_stands_beside_it(path: Path) -> None:
    assert outcome(path) == path.with_suffix(".txt").read_text(encoding="utf-8").strip()


if __name__ == "__main__":
    for name in sys.argv[1:]:
        print(outcome(next(path for path in LISTS if path.stem.startswith(name))))
