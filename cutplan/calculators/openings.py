"""Sizes of an opening or a frame as typed: ``1000 x 800``, ``3' 4" x 2' 6"``."""

from __future__ import annotations

import re

from cutplan.problems import Refused
from cutplan.units import Length, parse_length

SIZE_FORMS = 'two lengths, width first, such as 1000 x 800, 1.2 m x 800 mm or 40" x 32 1/2"'


def parse_size(text: str, unit: str) -> tuple[Length, Length]:
    """Width and height of a size as typed; bare numbers are in ``unit``.

    Raises
    ------
    Refused
        When the text is not two lengths with an x between them.
    """
    sides = re.split(r"\s*[xX×]\s*", text.strip())
    if len(sides) != 2:
        raise Refused(text, SIZE_FORMS, code="sum.size")
    try:
        width, height = (parse_length(side, unit) for side in sides)
    except Refused as refused:
        raise Refused(text, SIZE_FORMS, refused.hint, code=refused.code) from None
    return width, height
