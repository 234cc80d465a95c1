"""The digest that stands in a plan.json, of every value in the file but itself.

What the checker derives anew would be found without it. Much of what a person acts on cannot be derived: where a hole
is, what a note says, where an offcut lies. One digest binds all of it, so that no value is left out by mistake.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from hashlib import sha256
from typing import Any

KEY = "digest"


def digest_of(document: Mapping[str, Any]) -> str:
    """SHA-256 of a document's values in hexadecimal, whatever blanks and order of keys they are written with."""
    values = {key: value for key, value in document.items() if key != KEY}
    return sha256(json.dumps(values, sort_keys=True, separators=(",", ":")).encode("ascii")).hexdigest()


def digest_failures(document: Mapping[str, Any]) -> tuple[str, ...]:
    """One sentence where a document's values are not those it was written with; else none."""
    stated, found = document[KEY], digest_of(document)
    if stated == found:
        return ()
    return (
        f"its values have the digest {found[:8]}, {str(stated)[:8]} is stated: something in it was changed by hand; "
        "change the lists and plan again",
    )
