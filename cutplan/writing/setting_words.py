"""What each key of a workshop is called in a workbook, what it means, its default, and what may be chosen.

The sheets of a new workbook and the manual's table of the workshop file are both made from the words here.
"""

from __future__ import annotations

from dataclasses import dataclass

from cutplan.model import LABELS, PAPERS
from cutplan.reading.lists.ditto import Repeat
from cutplan.sections import GAUGES
from cutplan.units import MASS_UNITS

YES_NO = ("yes", "no")


@dataclass(frozen=True, slots=True)
class Words:
    """A setting in words: its name, its default as shown, what it means; ``choices`` are all its values, if few."""

    setting: str
    default: str
    meaning: str
    choices: tuple[str, ...] = ()


SETTINGS: dict[str, Words] = {
    "workshop.name": Words("Name of the workshop", "", "shown at the head of every sheet"),
    "workshop.address": Words("Address of the workshop", "", "shown on the sheet to buy by, for deliveries"),
    "workshop.unit": Words("Unit", "mm", "unit of bare numbers and of the sheets", ("mm", "in")),
    "workshop.paper": Words("Paper", "A4", "what the sheets are printed on; in inches the default is Letter", PAPERS),
    "workshop.decimal_sign": Words(
        "Decimal sign",
        "",
        "decimal sign of what is typed, here, in the lists and on the command line: . or a comma; the other one may "
        "then part thousands; without it a comma in a number is refused",
    ),
    "workshop.labels": Words(
        "Labels",
        "70 x 37 mm",
        "the sheet or roll that labels are printed on, by the size of a label; on Letter the default is 2 5/8 x 1 in",
        tuple(LABELS),
    ),
    "workshop.print_lengths_to": Words(
        "Print lengths to",
        "0.1 mm",
        "the step that printed lengths are rounded to, with ~ in front where that changes them: 0.1, 0.5 or 1 mm, or "
        "1/64, 1/32, 1/16 or 1/8 in; in inches the default is 1/64 in",
    ),
    "workshop.mass_unit": Words(
        "Unit of masses", "kg", "unit of printed masses; in inches the default is lb", tuple(MASS_UNITS)
    ),
    "workshop.currency": Words("Currency", "EUR", "three letters"),
    "stock.lengths": Words(
        "Stock lengths",
        "",
        "lengths on sale where no prices are known: 6 m, 7.5 m; or by section: 6 m; SHS 40x40x3: 6.5 m, 8 m",
    ),
    "saw.kerf": Words("Kerf", "2.5 mm", "what one cut removes"),
    "saw.end_trim": Words("End trim", "10 mm", "what a mill end loses before the first part"),
    "saw.end_trim_includes_cut": Words(
        "End trim includes its cut", "yes", "whether the squaring cut's kerf is part of the end trim", YES_NO
    ),
    "saw.mill_ends_accepted": Words("Mill ends accepted", "no", "whether mill ends are used as they come", YES_NO),
    "saw.safe_hold": Words("Safe hold", "120 mm", "the shortest length the vice may hold during a cut; 0 is no limit"),
    "saw.clamp": Words("Clamp", "bar side", "which side of the cut the vice can hold", ("bar side", "either side")),
    "saw.square_reads": Words(
        "Square cut reads",
        "0",
        "what the saw's scale reads at a square cut: 0 or 90; with 90 its reading is printed beside each saw angle",
    ),
    "offcuts.keep_at_most": Words(
        "Keep at most",
        "no limit",
        "how many offcuts of one section, grade and finish a plan may keep; the longest are kept, the others are scrap",
    ),
    "work.per_bar": Words(
        "Work per bar", "0", "what handling one bar counts for in the choice of bars; nobody is paid it"
    ),
    "work.per_cut": Words(
        "Work per cut",
        "0",
        "what one cut counts for: each stroke of the saw, squaring and every mitre among them",
    ),
    "work.per_setup": Words(
        "Work per set-up", "0", "what setting the saw counts for: once for each different part on a bar"
    ),
    "carry.longest": Words("Longest carry", "0", "the longest bar that can be brought home; 0 is no limit"),
    "carry.heavy_kg": Words("Heavy", "25", "a bar that weighs more is flagged; no limit is safe by itself"),
    "tax.percent": Words("Tax, percent", "0", "rate of tax"),
    "tax.prices_include_tax": Words(
        "Prices include tax", "no", "whether prices and charges are typed with the tax in them", YES_NO
    ),
    "defaults.finish": Words("Finish", "black", "the finish of a line that names none"),
    "defaults.mitre_length": Words(
        "Mitre length", "long point", "the length meant at a mitre", ("long point", "centre line", "short point")
    ),
    "defaults.gauge": Words(
        "Gauge",
        "",
        "the table by which a wall such as 16 ga is meant; with none such a wall is refused",
        tuple(GAUGES),
    ),
    "lists.repeat_above": Words(
        "Repeat the cell above",
        "no",
        "whether ditto marks, or they and empty cells, under Section, Grade and Finish repeat the cell above",
        tuple(repeat.value for repeat in Repeat),
    ),
    "steel.density": Words("Density of steel", "7850", "kg per cubic metre"),
    "rack.hold_days": Words("Hold for days", "14", "how many days a hold lasts"),
    "rack.old_after_months": Words(
        "Old after months",
        "12",
        "after how many months a piece is named by rack old",
    ),
    "rack.scrap_price_per_kg": Words(
        "Scrap price per kg",
        "0",
        "what scrap pays",
    ),
    "replan.stay": Words(
        "Bars stay, percent",
        "1",
        "how much more, in percent, the rest of a plan may cost so that bars stay as they were",
    ),
    "files.prices": Words(
        "Price list", "", "the price list, relative to this file; in a workbook read where the sheet Prices is empty"
    ),
    "files.rack": Words(
        "Rack file", "", "the rack file, relative to this file; in a workbook read where the sheet Rack is empty"
    ),
    "files.ledger": Words("Rack's ledger", "rack.ledger", "the rack's ledger, relative to this file"),
}
"""In the order in which a person fills them in."""

FAMILY_MEANINGS = {
    "minus_tolerance": "how much shorter than its nominal length a bar may come",
    "keep": "the shortest left over that goes on the rack",
    "offcut_value_per_m": "what a metre of kept offcut is worth",
    "standards": "the standard of a section whose line names none",
}

BLOCKS: dict[str, Words] = {
    "merchant.name": Words("Name", "", "the name as in the price list"),
    "merchant.delivers": Words(
        "Delivers", "no", "whether bars longer than the longest carry can be had from here", YES_NO
    ),
    "merchant.delivery": Words("Delivery", "0", "charged once when anything is bought here"),
    "merchant.minimum_order": Words("Minimum order", "0", "a smaller order is charged as this much"),
    "merchant.cuts_to_plan": Words(
        "Cuts to plan", "no", "whether this merchant cuts its bars as the plan says", YES_NO
    ),
    "merchant.cut_charge": Words(
        "Cut charge", "0", "per cut, where the merchant makes the cuts; to be paid, and in place of work per cut"
    ),
    "material.name": Words("Name", "", "a name of the workshop's own, or a known one with another density"),
    "material.density": Words("Density", "", "kg per cubic metre"),
    "section.name": Words("Name", "", "how it is called in the lists"),
    "section.height": Words("Height", "", "outside dimension"),
    "section.width": Words("Width", "", "outside dimension"),
    "section.thickness": Words("Thickness", "the smaller of both", "wall; needed with legs"),
    "section.mass_per_m": Words("Mass per m", "", "kg a metre, as the supplier says"),
    "section.area": Words("Area", "from the mass", "square millimetres"),
    "section.surface_per_m": Words("Surface per m", "of height and width", "square metres a metre, to be painted"),
    "section.legs": Words(
        "Legs",
        "",
        "a strip folded at right angles: outside dimensions of its flat parts in order, such as 20, 40, 20, "
        "in a workshop file in brackets",
    ),
    "section.bend_radius": Words("Bend radius", "the thickness", "inside radius of the folds"),
    "section.material": Words("Material", "carbon steel", "such as aluminium"),
}
"""Keys of the blocks that may be repeated, one block per merchant, material or section."""
