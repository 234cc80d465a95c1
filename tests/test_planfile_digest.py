"""The digest of a plan file changes with every value and with nothing else."""

from __future__ import annotations

import json
from hashlib import sha256

import pytest

from cutplan.planfile import digest_failures, digest_of, to_document
from tests.effort import THOROUGH
from tests.plan_values import changed, full_job, others_than, pattern, values_of


@pytest.fixture(scope="module")
def document() -> dict[str, object]:
    return to_document(*full_job())


def test_it_is_that_of_the_other_values_as_the_schema_says(document: dict[str, object]) -> None:
    """Worked out beside the package, by the sentence in the schema."""
    rest = dict(document)
    stated = rest.pop("digest")
    text = json.dumps(rest, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    assert stated == sha256(text.encode("ascii")).hexdigest()
    assert digest_failures(document) == ()


def test_blanks_and_the_order_of_keys_do_not_matter(document: dict[str, object]) -> None:
    again = json.loads(json.dumps(dict(reversed(document.items())), indent=7))
    assert list(again) != list(document)
    assert digest_of(again) == document["digest"]


def test_every_value_is_bound(document: dict[str, object]) -> None:
    free = []
    every = list(values_of(document))
    for place, value in every if THOROUGH else {pattern(place): (place, value) for place, value in every}.values():
        for other in others_than(value):
            if other != value:
                with changed(document, place, other):
                    free += [pattern(place)] * (not digest_failures(document))
    assert free == []
    assert digest_failures(document) == ()


def test_a_value_gone_or_doubled_is_noticed(document: dict[str, object]) -> None:
    assert isinstance(document["parts"], list)
    for parts in (document["parts"][1:], [*document["parts"], document["parts"][0]]):
        assert digest_failures({**document, "parts": parts})


def test_the_sentence_names_both(document: dict[str, object]) -> None:
    (told,) = digest_failures({**document, "digest": "0" * 64})
    assert told.startswith(f"its values have the digest {str(document['digest'])[:8]}, 00000000 is stated: ")
