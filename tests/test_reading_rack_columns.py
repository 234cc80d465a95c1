"""How an end of an offcut is, as typed."""

from __future__ import annotations

import pytest

from cutplan.model import EndState
from cutplan.problems import Refused
from cutplan.reading.lists.rack_columns import END_FORMS, read_end


@pytest.mark.parametrize(
    ("text", "state"), [("sawn", EndState.SAWN), (" Saw  Cut ", EndState.SAWN), ("MILL end", EndState.MILL)]
)
def test_an_end(text: str, state: EndState) -> None:
    assert read_end(text) is state


def test_another_word_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        read_end("torn")
    assert (refused.value.accepted, refused.value.code) == (END_FORMS, "rack.end")
