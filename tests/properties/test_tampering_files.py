"""Any one value of a plan file changed, and its digest made anew to fit: what is derived is still found out.

What is left is a table of what nothing in the file could say: it is bound by the digest alone, and, where it comes from
the lists, by reading them again.
"""

from __future__ import annotations

import random
from typing import Any

import pytest

from cutplan import checking
from cutplan.planfile import contradictions, from_document, to_document
from cutplan.planfile.files import schema_problems
from cutplan.planning import plan_job
from cutplan.problems import ProblemsFound
from tests.effort import examples
from tests.plan_values import Place, changed, full_job, others_than, pattern, values_of
from tests.slanted_start import begun_job

FROM_THE_LISTS = {
    "job.files.role",
    "job.files.name",
    "job.files.sha256",
    "job.assumptions.code",
    "job.assumptions.text",
    "job.warnings.code",
    "job.warnings.where",
    "job.warnings.found",
    "job.warnings.accepted",
    "job.warnings.hint",
    "job.warnings.found_is_text",
    "job.silenced",
    "workshop.name",
    "workshop.address",
    "workshop.printed_to",
    "workshop.saw.safe_hold",
    "workshop.saw.clamp",
    "workshop.saw.square_reads",
    "workshop.keep.family",
    "workshop.heavy",
    "workshop.default_finish",
    "workshop.mitre_length",
    "workshop.gauge",
    "workshop.merchants.minimum_order",
    "workshop.merchants.cut_charge",
    "sections.area",
    "sections.surface_per_metre",
    "sections.source",
    "sections.listed",
    "parts.row",
    "parts.typed_section",
    "parts.typed_length",
    "parts.length_meant",
    "parts.depth",
    "parts.heel",
    "parts.cope",
    "parts.opposite_hand",
    "parts.assemblies",
    "parts.list_name",
    "parts.note",
    "parts.spares",
    "parts.spares_bought",
    "parts.holes.position",
    "parts.holes.face",
    "parts.holes.across",
    "parts.holes.through",
    "parts.holes.name",
    "parts.holes.note",
    "parts.holes.pattern",
    "parts.holes.row",
    "parts.holes.standard",
    "offers.row",
    "offers.merchant",
    "offers.available",
    "offers.basis",
    "offcuts.row",
    "offcuts.place",
    "offcuts.heat_number",
    "offcuts.book_value",
    "others.name",
    "others.row",
    "others.merchant",
    "others.note",
}
"""Typed by somebody, or follows from what was: compared when the lists are read again."""

FROM_THE_SEARCH = {
    "program.version",
    "program.python",
    "program.libraries.ortools",
    "program.libraries.numpy",
    "program.libraries.openpyxl",
    "program.libraries.pandas",
    "program.libraries.pint",
    "program.libraries.segno",
    "program.libraries.typst",
    "result.stopped_by",
    "groups.bars.drop.mark",
    "groups.proof.stopped_by",
    "groups.proof.rounds",
    "groups.proof.patterns",
    "groups.proof.nodes",
    "cases.stopped_by",
    "cases.proofs.stopped_by",
    "cases.proofs.rounds",
    "cases.proofs.patterns",
    "cases.proofs.nodes",
}
"""What wrote the file and how long it searched; the marks that the rack promised."""

STILL_A_PROOF = {
    "groups.proof.status",
    "groups.proof.denominator",
    "groups.proof.bound",
    "groups.proof.leaves.duals",
    "cases.and_more",
    "cases.by_search",
    "cases.proofs.status",
    "cases.proofs.denominator",
    "cases.proofs.step",
    "cases.proofs.leaves.duals",
}
"""Another proof of the same bound, or one that claims less: nothing false is said."""

DIGEST_ALONE = FROM_THE_LISTS | FROM_THE_SEARCH | STILL_A_PROOF


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    return to_document(*full_job())


def found_out(document: dict[str, Any]) -> bool:
    """Is the file refused though its digest fits? Anything else that is raised is a fault."""
    if schema_problems(document):
        return True
    try:
        job, plan = from_document(document)
    except ProblemsFound:
        return True
    return bool(checking.check(job, plan) or contradictions(document))


def not_found_out(document: dict[str, Any], places: list[tuple[Place, Any]]) -> set[str]:
    missed = set()
    for place, value in places:
        for other in others_than(value):
            if other != value and place[0] != "digest":
                with changed(document, place, other):
                    if not found_out(document):
                        missed.add(pattern(place))
    return missed


def test_the_plan_to_be_tampered_with_holds(document: dict[str, Any]) -> None:
    assert not found_out(document)


def test_what_is_derived_is_found_out_whatever_the_digest_says(document: dict[str, Any]) -> None:
    chosen = random.Random(11).sample(list(values_of(document)), 50)[: examples(50, 20)]
    assert not_found_out(document, chosen) - DIGEST_ALONE == set()


def test_a_start_on_a_slanted_end_is_found_out_where_it_is_none() -> None:
    """Every value of the end of the piece and of the bar that begins on it."""
    made = begun_job()
    document = to_document(made, plan_job(made))
    assert from_document(document) == (made, plan_job(made))
    (bar,) = document["groups"][0]["bars"]
    assert bar["starts_on_slant"]
    assert not found_out(document)
    of_piece = [("offcuts", 0, key) for key in ("angle_a", "depth", "side", "end_a")]
    at_start = [("groups", 0, "bars", 0, key) for key in ("starts_on_slant", "start_trim")]
    first_cut = [("groups", 0, "bars", 0, "cuts", 0, key) for key in ("start", "angle_a")]
    places = [(place, value) for place, value in values_of(document) if place in (*of_piece, *at_start, *first_cut)]
    assert len(places) == 8
    assert not_found_out(document, places) == set()


@pytest.mark.slow
@pytest.mark.parametrize("key", [key for key in to_document(*full_job()) if key != "digest"])
def test_every_value_but_those_of_the_table_is_found_out(key: str, document: dict[str, Any]) -> None:
    below = [(place, value) for place, value in values_of(document) if place[0] == key]
    assert not_found_out(document, below) == {name for name in DIGEST_ALONE if name.split(".")[0] == key}
