"""What a job needs beside steel that is cut: hinges, bolts, end caps, plate gussets, paint."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from cutplan.fields import COUNT, MASS, MONEY, NAME, POSITIVE_COUNT, said
from cutplan.units import Mass, Money, rounded_to_cents


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherLine:
    """A line of the parts list that is bought and weighed but not cut.

    Parameters
    ----------
    name
        What it is, as typed.
    quantity
        How many for all of the job.
    mass_each
        0 when the list does not say. [mg]
    price_each
        On the tax basis of the price list; None when the list does not say. [millionths of the currency]
    merchant
        Who sells it; blank when the list does not say.
    list_name
        The list it comes from, where several are planned together; else blank.
    row
        Row of the list, as a spreadsheet numbers it.
    """

    name: Annotated[str, NAME]
    row: Annotated[int, COUNT] = 0
    quantity: Annotated[int, POSITIVE_COUNT]
    mass_each: Annotated[Mass, MASS] = 0
    price_each: Annotated[Money | None, MONEY("null when the list has no price")] = None
    merchant: str = ""
    assembly: str = ""
    list_name: Annotated[str, said("the list it comes from, where several are planned together")] = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not self.name or self.quantity < 1:
            raise ValueError("a line that is not cut has a name and a quantity of at least 1")
        if self.mass_each < 0 or (self.price_each or 0) < 0:
            raise ValueError(f"{self.name}: weight and price are not negative")

    @property
    def mass(self) -> Mass:
        """Of all of them. [mg]"""
        return self.mass_each * self.quantity

    @property
    def money(self) -> Money:
        """Of all of them in whole cents, 0 where no price is known. [millionths of the currency]"""
        return rounded_to_cents((self.price_each or 0) * self.quantity)
