"""Stock lengths without a price list."""

from __future__ import annotations

from pathlib import Path

from cutplan.model import Job
from cutplan.units import MM
from tests.input_files import PARTS, job_of

H = ("Quantity", "Section", "Length", "Grade", "Finish")
SHS = "SHS 40x40x3"


def offered(job: Job) -> list[tuple[str, str, str, int, str]]:
    return [(o.section.designation, o.grade, o.finish, o.length // MM, o.id) for o in job.offers]


def test_one_length_gives_a_first_answer(tmp_path: Path) -> None:
    job = job_of(tmp_path, prices=None, stock=("6 m",))
    (offer,) = job.offers
    assert (offer.merchant, offer.bar_price, offer.length, offer.id) == ("", None, 6000 * MM, "#S1")
    assert any(sentence.startswith("No price list") for sentence in job.assumed)


def test_lengths_go_to_sections_the_price_list_does_not_offer(tmp_path: Path) -> None:
    rows = (H, (1, SHS, 900, "", ""), (1, "FL 50x6", 900, "", ""), (1, "FL 50x6", 800, "", "bright"))
    job = job_of(tmp_path, rows, stock=("6 m", "6000", "4 m"))
    assert offered(job)[3:] == [
        ("FL 50x6", "", "black", 6000, "#S1"),
        ("FL 50x6", "", "black", 4000, "#S2"),
        ("FL 50x6", "", "bright", 6000, "#S3"),
        ("FL 50x6", "", "bright", 4000, "#S4"),
    ]


def test_a_stated_grade_gets_stock_of_that_grade(tmp_path: Path) -> None:
    rows = (H, (1, SHS, 900, "S235", ""), (1, SHS, 800, "", ""), (1, SHS, 800, "S355", ""))
    job = job_of(tmp_path, rows, prices=None, stock=("6 m",))
    assert [(grade, length) for _, grade, _, length, _ in offered(job)] == [("S235", 6000), ("S355", 6000)]


def test_lengths_of_one_section(tmp_path: Path) -> None:
    rows = (H, (1, SHS, 900, "", ""), (1, "FL 50x6", 900, "", ""))
    job = job_of(tmp_path, rows, prices=None, stock=("40x40x3 SHS: 6 m, 7.5 m", "FL 50x6: 6000"))
    assert [(name, length) for name, _, _, length, _ in offered(job)] == [(SHS, 6000), (SHS, 7500), ("FL 50x6", 6000)]


def test_lengths_of_the_workshop_wait_for_sections_without_a_price(tmp_path: Path) -> None:
    """Those said for this job alone are refused there: never ignored."""
    job = job_of(tmp_path, PARTS, workshop='[stock]\nlengths = "6 m"')
    assert all(offer.merchant for offer in job.offers)


def test_stock_is_counted_on_less_the_tolerance(tmp_path: Path) -> None:
    job = job_of(tmp_path, PARTS, prices=None, stock=("6 m",), workshop='[minus_tolerance]\nSHS = "6 mm"')
    assert job.offers[0].counted == 5994 * MM
