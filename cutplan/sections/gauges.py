"""Wall thickness by gauge number, which means another thickness in every table.

A number alone (16 ga) is refused unless the workshop has named its merchant's table; a number with the table's own
word (16 SWG) says which.
"""

from __future__ import annotations

from fractions import Fraction

GAUGES: dict[str, dict[int, str]] = {
    # Birmingham or Stubs wire gauge, by which tube is sold: 16 is 0.065 in (chicagotube.com, ASTM A513); others from
    # memory.
    "BWG": {
        7: "0.180",
        8: "0.165",
        9: "0.148",
        10: "0.134",
        11: "0.120",
        12: "0.109",
        13: "0.095",
        14: "0.083",
        15: "0.072",
        16: "0.065",
        17: "0.058",
        18: "0.049",
        19: "0.042",
        20: "0.035",
        21: "0.032",
        22: "0.028",
    },
    # British standard wire gauge: 16 is 0.064 in (ashmoreandallen.co.uk/data.htm); others from memory.
    "SWG": {
        7: "0.176",
        8: "0.160",
        9: "0.144",
        10: "0.128",
        11: "0.116",
        12: "0.104",
        13: "0.092",
        14: "0.080",
        15: "0.072",
        16: "0.064",
        17: "0.056",
        18: "0.048",
        19: "0.040",
        20: "0.036",
        21: "0.032",
        22: "0.028",
    },
    # Manufacturers' standard gauge of uncoated steel sheet, as held in steel-sections 0.1.0.
    "US sheet": {
        7: "0.1793",
        8: "0.1644",
        9: "0.1495",
        10: "0.1345",
        11: "0.1196",
        12: "0.1046",
        13: "0.0897",
        14: "0.0747",
        15: "0.0673",
        16: "0.0598",
        17: "0.0538",
        18: "0.0478",
        19: "0.0418",
        20: "0.0359",
        21: "0.0329",
        22: "0.0299",
    },
}
"""Thickness in inches by number, by the name of the table."""


def gauge_thickness(table: str, number: int) -> Fraction | None:
    """Thickness in inches; None when the table does not go to this number."""
    inches = GAUGES[table].get(number)
    return None if inches is None else Fraction(inches)
