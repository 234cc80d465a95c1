"""Made-up jobs, planned by the package from files and held against the own optimum."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.effort import some
from tests.second_opinion.ask import ask
from tests.second_opinion.jobs import STYLES, made
from tests.second_opinion.run import opinion
from tests.second_opinion.typed import inches, millimetres, write

BATCH = 10
BATCHES = 30


@pytest.mark.parametrize("seed", some(range(len(STYLES)), *range(0, len(STYLES), 3)), ids=STYLES)
def test_one_job_of_each_style(seed: int, tmp_path: Path) -> None:
    found = opinion(seed, tmp_path)
    assert found.faults == (), found


@pytest.mark.second_opinion
@pytest.mark.parametrize("batch", range(BATCHES))
def test_many_jobs(batch: int, tmp_path: Path) -> None:
    first = len(STYLES) + batch * BATCH
    found = [opinion(seed, tmp_path / str(seed)) for seed in range(first, first + BATCH)]
    assert [each for each in found if each.faults] == []


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(STYLES.index("inches"), 5 * len(STYLES), len(STYLES)))
def test_the_same_lengths_in_inches_and_in_millimetres_cost_the_same(seed: int, tmp_path: Path) -> None:
    job = made(seed)
    in_inches, in_millimetres = (
        ask(write(job, tmp_path / typed.__name__, length=typed)) for typed in (inches, millimetres)
    )
    assert '"' in (tmp_path / "inches" / "parts.csv").read_text()
    assert '"' not in (tmp_path / "millimetres" / "parts.csv").read_text()
    assert in_inches.no_plan == in_millimetres.no_plan
    results = [answer.document["result"] for answer in (in_inches, in_millimetres) if answer.document is not None]
    assert len(results) in (0, 2)
    if not any(result["stopped_by"] for result in results):
        assert results[:1] == results[1:]


@pytest.mark.parametrize("seed", range(0, 60, 7))
def test_a_seed_is_one_job(seed: int) -> None:
    assert made(seed) == made(seed)


def test_every_style_makes_jobs_that_show_it() -> None:
    shops = {style: [made(seed).shop for seed in range(n, n + 400, len(STYLES))] for n, style in enumerate(STYLES)}
    assert any(shop.terms for shop in shops["charges"])
    assert any(any(shop.work) for shop in shops["work"])
    assert all(shop.hold for shop in shops["hold"])
    assert any(part.angle_a for shop in shops["mitres"] for part in shop.parts)
    assert {shop.share for shop in shops["mitres"]} == {False, True}
    assert any(part.grade for shop in shops["grades"] for part in shop.parts)
    assert any(s.available == 0 for shop in shops["limits"] for s in shop.supplies)
    assert all(shop.keep_at_most is not None for shop in shops["keep limit"])
    assert all(any(group.by_mass for group in shop.groups()) for shop in shops["missing prices"])
    assert any(part.length % 100_000 for shop in shops["fine"] for part in shop.parts)
    assert any(part.length % 396_875 == 0 for shop in shops["inches"] for part in shop.parts)
    assert any((s.available or 0) > 1 and not s.bought for shop in shops["full lengths"] for s in shop.supplies)
    assert any(part.spares for shop in shops["spares"] for part in shop.parts)
    assert any(part.mirrored for shop in shops["opposite hand"] for part in shop.parts)
    assert any(part.to_fit for shop in shops["to fit"] for part in shop.parts)
    assert all(shop.carry for shop in shops["carry"])


def test_nothing_but_asking_imports_the_package() -> None:
    for path in Path(__file__).parent.glob("*.py"):
        names = {alias.name for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Import)
                 for alias in node.names}  # fmt: skip
        names |= {
            node.module or "" for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.ImportFrom)
        }
        packages = {name.split(".")[0] for name in names}
        assert "cutplan" not in packages or path.name == "ask.py", path.name
