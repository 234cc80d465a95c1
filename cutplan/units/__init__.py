"""Lengths, angles, masses and money as exact whole numbers; workshop notation in and out.

The room's one face: what others need is imported from here. Pint is loaded only for a unit word outside the
everyday few.
"""

from cutplan.units.angles import (
    ANGLE_FORMS,
    MAX_MITRE,
    ROUNDED_UP_TO,
    angle_text,
    kerf_along,
    mitre_run,
    parse_angle,
)
from cutplan.units.lengths import LENGTH_FORMS, MAX_LENGTH, names_unit, parse_length, parse_length_or_zero
from cutplan.units.money import MONEY_FORMS, exact_money_text, money_text, parse_money
from cutplan.units.notation import (
    LONGEST_NUMBER,
    MAX_QUANTITY,
    QUANTITY_FORMS,
    parse_decimal,
    parse_quantity,
    tidy_text,
)
from cutplan.units.printing import kg_text, length_text, mm_text, typed_length
from cutplan.units.quantities import (
    CURRENCY,
    DEGREE,
    FOOT,
    INCH,
    KG,
    METRE,
    MM,
    POUND_IN_KG,
    TONNE,
    UM,
    Angle,
    Length,
    Mass,
    Money,
    ceil_div,
    round_half_up,
)
from cutplan.units.unit_words import EVERYDAY_UNITS, unit_length

__all__ = [
    "ANGLE_FORMS",
    "CURRENCY",
    "DEGREE",
    "EVERYDAY_UNITS",
    "FOOT",
    "INCH",
    "KG",
    "LENGTH_FORMS",
    "LONGEST_NUMBER",
    "MAX_LENGTH",
    "MAX_MITRE",
    "MAX_QUANTITY",
    "METRE",
    "MM",
    "MONEY_FORMS",
    "POUND_IN_KG",
    "QUANTITY_FORMS",
    "ROUNDED_UP_TO",
    "TONNE",
    "UM",
    "Angle",
    "Length",
    "Mass",
    "Money",
    "angle_text",
    "ceil_div",
    "exact_money_text",
    "kerf_along",
    "kg_text",
    "length_text",
    "mitre_run",
    "mm_text",
    "money_text",
    "names_unit",
    "parse_angle",
    "parse_decimal",
    "parse_length",
    "parse_length_or_zero",
    "parse_money",
    "parse_quantity",
    "round_half_up",
    "tidy_text",
    "typed_length",
    "unit_length",
]
