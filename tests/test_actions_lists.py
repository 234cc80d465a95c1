"""Reading a list and counting what is there, with values."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Merchant
from cutplan.problems import ProblemsFound
from tests import builders


def test_check_counts_what_there_is() -> None:
    job = builders.job(
        [builders.part("A", 4, 1200), builders.part("B", 2, 850)],
        [builders.offer("P2", 6000, 35), builders.offer("P3", 12000, None)],
        [builders.offcut("R1", 900)],
        longest_carry=6500,
    )
    (group,) = actions.check(job)
    assert (group.parts, group.pieces, group.length) == (2, 6, builders.mm(6500))
    assert group.mass == 3 * 6_500_000, "6.5 m at 3 kg/m"
    assert (group.offers, group.too_long, group.offcuts, group.priced) == (1, 1, 1, False)


def test_check_weighs_mitred_parts_as_the_plan_does() -> None:
    job = builders.job([builders.part("A", 2, 1000, mitres=(45, 45))], [builders.offer("P1", 6000, 9)])
    (group,) = actions.check(job)
    assert (group.length, group.mass) == (builders.mm(2000), 2 * 3 * 960_000), "2 x 960 mm at 3 kg/m"


def test_one_stock_length_may_stand_alone(tmp_path: Path) -> None:
    (tmp_path / "parts.csv").write_text("Quantity,Section,Length\n4,SHS 40x40x3,1200\n")
    (offer,) = actions.read_job(tmp_path / "parts.csv", stock="6 m").offers
    assert offer.length == 6_000_000_000


@pytest.mark.parametrize("quantity", ["4", "four"])
def test_lists_of_one_name_are_refused_by_their_places(
    quantity: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where cells are wrong, which a message places by the name of the file."""
    monkeypatch.chdir(tmp_path)
    for folder in ("front", "back"):
        Path(folder).mkdir()
        Path(folder, "gate.csv").write_text(f"Quantity,Section,Length\n{quantity},SHS 40x40x3,1200\n")
    with pytest.raises(ProblemsFound) as found:
        actions.read_job(["front/gate.csv", "back/gate.csv"], stock="6 m")
    (problem,) = found.value.problems
    assert str(problem).startswith(f'{Path("front/gate.csv")} and {Path("back/gate.csv")}: found 2 lists named "gate".')


def test_several_lists_are_read_as_one_job(tmp_path: Path) -> None:
    shop = tmp_path / "workshop.toml"
    shop.write_text("", encoding="utf-8")
    gate, bench = tmp_path / "gate.csv", tmp_path / "bench.csv"
    gate.write_text("Quantity,Section,Length\n2,SHS 40x40x3,900\n", encoding="utf-8")
    bench.write_text("Quantity,Section,Length\n2,FL 50x6,900\n", encoding="utf-8")
    job = actions.read_job([gate, bench], stock=["SHS 40x40x3: 6 m", "FL 50x6: 3 m"])
    assert [part.mark for part in job.parts] == ["gate/P1", "bench/P1"]
    assert [offer.id for offer in job.offers] == ["#S1", "#S2"]
    assert actions.plan_folder([gate, bench]) == Path("reports") / "gate+bench"
    bench.write_text("Quantity,Section,Length\nx,FL 50x6,900\n", encoding="utf-8")
    gate.write_text("Quantity,Section,Length\ny,FL 50x6,900\n", encoding="utf-8")
    with pytest.raises(ProblemsFound) as found:
        actions.read_job([gate, bench], stock=["6 m"])
    assert [problem.where for problem in found.value.problems] == [
        'gate.csv, row 2, column A "Quantity"',
        'bench.csv, row 2, column A "Quantity"',
    ]


@pytest.mark.parametrize("mitres", [(0, 0), (45, 0)])
def test_a_length_cut_for_the_carry_is_one_to_cut_from(mitres: tuple[int, int]) -> None:
    """Of 3000, brought home as two pieces; parts with mitres are cut from those as others are."""
    yard = Merchant(name="Yard", cuts_to_carry=True)
    part = builders.part("P", 1, 400, mitres=mitres)
    job = builders.job([part], [builders.offer("A", 3000, 9, merchant="Yard")], longest_carry=2000, merchants=[yard])
    (group,) = actions.check(job)
    assert (group.offers, group.too_long) == (1, 0)
