"""A job and its plan come back from their document as they were, whatever texts they hold."""

from __future__ import annotations

import json
from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from cutplan.fields.decimals import decimal_text, millionths
from cutplan.model import Assumption, EndState, InputFile, Job, LengthMeant
from cutplan.model.stock_length import Basis
from cutplan.planfile import contradictions, from_document, to_document
from cutplan.planfile.files import document_text, schema_problems
from cutplan.problems import Problem
from cutplan.sections.section import Family
from cutplan.units import DECIMAL_SIGNS, MASS_UNITS, PRINTED_TO
from tests.effort import examples
from tests.first_fit import DoesNotFit, first_fit_plan
from tests.strategies import tiny_jobs

TEXT = st.text(st.characters(), max_size=12)


@st.composite
def dressed_jobs(draw: st.DrawFn) -> Job:
    """A tiny job with any text wherever a person may have typed one, and figures that planning does not look at."""
    tiny = draw(tiny_jobs(most_parts=2))
    density = draw(st.integers(1, 10_000))
    parts = tuple(
        replace(
            part,
            section=replace(part.section, density=density),
            note=draw(TEXT),
            assembly=draw(TEXT),
            typed_length=draw(TEXT),
            typed_section=draw(TEXT),
            row=draw(st.integers(0, 100_000)),
            length_meant=draw(st.sampled_from(LengthMeant)),
        )
        for part in tiny.parts
    )
    offers = tuple(
        replace(
            o,
            section=replace(o.section, density=density),
            typed_price=draw(TEXT),
            basis=draw(st.sampled_from(Basis)),
        )
        for o in tiny.offers
    )
    offcuts = tuple(
        replace(
            o,
            section=replace(o.section, density=density),
            place=draw(TEXT),
            heat_number=draw(TEXT),
            end_a=draw(st.sampled_from(EndState)),
        )
        for o in tiny.offcuts
    )
    shop = replace(
        tiny.workshop,
        name=draw(TEXT),
        currency=draw(TEXT),
        unit=(unit := draw(st.sampled_from(["mm", "in"]))),
        printed_to=draw(st.sampled_from([0, *PRINTED_TO[unit].values()])),
        decimal_sign=draw(st.sampled_from(["", *DECIMAL_SIGNS])),
        mass_unit=draw(st.sampled_from(["", *MASS_UNITS])),
        tax_millionths=draw(st.integers(0, 10**6)),
        prices_include_tax=draw(st.booleans()),
        minus_tolerance=tuple(
            (family, draw(st.integers(0, 10**7))) for family in draw(st.sets(st.sampled_from(Family)))
        ),
        standards=tuple((family, draw(TEXT)) for family in draw(st.sets(st.sampled_from(Family)))),
        density=density,
    )
    return replace(
        tiny,
        name=draw(TEXT),
        parts=parts,
        offers=offers,
        offcuts=offcuts,
        workshop=shop,
        files=(InputFile(role="parts", name=draw(TEXT), sha256=draw(TEXT)),),
        assumptions=tuple(Assumption(*pair) for pair in draw(st.lists(st.tuples(TEXT, TEXT), max_size=3))),
        warnings=tuple(
            Problem(
                code=draw(TEXT),
                where=draw(TEXT),
                found=draw(TEXT),
                accepted=draw(TEXT),
                found_is_text=draw(st.booleans()),
            )
            for _ in range(draw(st.integers(0, 2)))
        ),
    )


@settings(
    max_examples=examples(120), deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow]
)
@given(dressed_jobs())
def test_round_trip(tiny: Job) -> None:
    try:
        plan = first_fit_plan(tiny)
    except DoesNotFit:
        assume(False)
    document = to_document(tiny, plan)
    assert from_document(document) == (tiny, plan)
    assert schema_problems(document) == ()
    written = document_text(document).encode("utf-8", "backslashreplace")
    assert json.loads(written) == document
    assert [text for text in contradictions(document) if not text.startswith("offer")] == []


@given(st.integers())
def test_decimals(value: int) -> None:
    assert millionths(decimal_text(value)) == value
