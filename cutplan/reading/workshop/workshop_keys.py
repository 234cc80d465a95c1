"""Every key of a workshop, declared once: how it is read, what it is called in a workbook, its default, what it means.

The reader of a workshop file, the sheets of a workbook, the manual's table and the sample workshop file come of them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from typing import Any

from cutplan.costing.cost_figures import MINUTE, Coat, CostFigures, HourFigures
from cutplan.model import LABELS, PAPERS, Brought, Clamp, LengthMeant, Merchant, Saw, Swings, Work, Workshop
from cutplan.reading.lists.ditto import Repeat
from cutplan.reading.workshop import workshop_values as values
from cutplan.reading.workshop.rack_rules import LEDGER, RackRules
from cutplan.reading.workshop.workshop_values import Reader
from cutplan.sections import GAUGES
from cutplan.sections.section import Family
from cutplan.units import CURRENCY, DECIMAL_SIGNS, DEGREE, MASS_UNITS, MAX_MITRE, length_text

YES_NO = ("yes", "no")

FAMILY_KEYS: dict[str, Family] = {family.value: family for family in Family}
"""How a key names a family: the word its designations start with."""


@dataclass(frozen=True, slots=True)
class Key:
    """A key of a workshop.

    Parameters
    ----------
    name
        Its table and its word, such as ``saw.kerf``.
    read
        From a value as TOML gives it to one as the model holds it.
    setting
        What it is called in a workbook.
    default
        As it would be typed, or in words; blank where there is none.
    meaning
        What it means, in a sentence.
    choices
        All its values, where they are few.
    field
        The field of the model's Workshop that it sets; blank where that has none, or has it by the same name.
    """

    name: str
    read: Reader
    setting: str
    default: str
    meaning: str
    choices: tuple[str, ...] = ()
    field: str = ""

    @property
    def table(self) -> str:
        """The table it stands in."""
        return self.name.partition(".")[0]

    @property
    def word(self) -> str:
        """What it is called in its table."""
        return self.name.partition(".")[2]


@dataclass(frozen=True, slots=True)
class FamilyTable:
    """A table with a key for each family of sections: how the value of a family is read, and its default."""

    name: str
    read: Callable[[Family], Reader]
    setting: str
    default: Callable[[Workshop, Family], str]
    meaning: str

    def of_families(self) -> tuple[Key, ...]:
        """The key of every family."""
        return tuple(
            Key(f"{self.name}.{word}", self.read(family), self.setting, self.default(Workshop(), family), self.meaning)
            for word, family in FAMILY_KEYS.items()
        )


_WORKSHOP, _RULES = Workshop(), RackRules()
_HOLDERS = {
    **{"saw": Saw(), "saws": Saw(), "work": Work(), "merchant": Merchant(name="any"), "rack": _RULES, "replan": _RULES},
    **{"hours": HourFigures(), "cost": CostFigures(), "coat": Coat(name="any")},
}
"""What holds the values of a table, where that is not the workshop."""


def _usual(name: str, field: str = "") -> Any:
    """What the model has where a key is left out."""
    table, _, word = name.partition(".")
    return getattr(_HOLDERS.get(table, _WORKSHOP), field or word)


def _typed(value: Any) -> str:
    """A value of the model as it would be typed."""
    if isinstance(value, bool):
        return YES_NO[not value]
    return str(value.value if isinstance(value, Enum) else value)


def _kept(name: str, read: Reader, setting: str, meaning: str, *, field: str = "") -> Key:
    """A key whose default is the model's: a text, or a number typed as it is kept."""
    return Key(name, read, setting, _typed(_usual(name, field)), meaning, field=field)


def _length(name: str, setting: str, meaning: str, *, read: Reader = values.length, field: str = "") -> Key:
    usual = _usual(name, field)
    return Key(name, read, setting, length_text(usual) if usual else "0", meaning, field=field)


def _percent(name: str, setting: str, meaning: str, *, field: str = "") -> Key:
    return Key(name, values.percent, setting, f"{Fraction(_usual(name, field), 10_000)}", meaning, field=field)


def _money(name: str, setting: str, meaning: str, *, field: str = "") -> Key:
    return Key(name, values.money, setting, f"{Fraction(_usual(name, field), CURRENCY)}", meaning, field=field)


def _minutes(name: str, setting: str, meaning: str) -> Key:
    usual = Fraction(_usual(name), MINUTE)
    guess = "; the default is a guess, measure yours" if usual else ""
    return Key(name, values.minutes, setting, f"{usual}", meaning + guess)


def _truth(name: str, setting: str, meaning: str, *, field: str = "") -> Key:
    return Key(name, values.truth, setting, _typed(_usual(name, field)), meaning, YES_NO, field)


def _choice(
    name: str,
    words: Mapping[str, Any] | Sequence[str],
    setting: str,
    meaning: str,
    *,
    default: str | None = None,
    field: str = "",
) -> Key:
    """A key with few values; ``default`` is given where the model has none of its own."""
    known = words if isinstance(words, Mapping) else {word: word for word in words}
    usual = _typed(_usual(name, field)) if default is None else default
    return Key(name, values.one_of(known), setting, usual, meaning, tuple(known), field)


def _by_value(members: Sequence[Enum]) -> dict[str, Enum]:
    return {member.value: member for member in members}


# fmt: off
_PLAIN = (
    Key("workshop.name", values.text, "Name of the workshop", "", "shown at the head of every sheet"),
    Key("workshop.address", values.text, "Address of the workshop", "",
        "shown on the sheet to buy by, for deliveries"),
    _choice("workshop.unit", ("mm", "in"), "Unit", "unit of bare numbers and of the sheets"),
    _choice("workshop.paper", PAPERS, "Paper", "what the sheets are printed on; in inches the default is Letter"),
    Key("workshop.print_lengths_to", values.printed_to, "Print lengths to", "0.1 mm",
        "the step that printed lengths are rounded to, with ~ in front where that changes them: 0.1, 0.5 or 1 mm, or "
        "1/64, 1/32, 1/16 or 1/8 in; in inches the default is 1/64 in", field="printed_to"),
    _choice("workshop.mass_unit", tuple(MASS_UNITS), "Unit of masses",
        "unit of printed masses; in inches the default is lb", default="kg"),
    _choice("workshop.labels", LABELS, "Labels",
        "the sheet or roll that labels are printed on, by the size of a label; on Letter the default is 2 5/8 x 1 in"),
    Key("workshop.decimal_sign", values.one_of({sign: sign for sign in DECIMAL_SIGNS}), "Decimal sign", "",
        "decimal sign of what is typed, here, in the lists and on the command line: . or a comma; the other one may "
        "then part thousands; without it a comma in a number is refused"),
    _kept("workshop.currency", values.currency, "Currency", "three letters, shown beside every amount"),
    _percent("tax.percent", "Tax, percent", "rate of tax", field="tax_millionths"),
    _truth("tax.prices_include_tax", "Prices include tax",
        "whether prices and charges are typed with the tax in them", field="prices_include_tax"),
    _length("saw.kerf", "Kerf", "what one cut removes: cut a scrap once and subtract both pieces from it",
        read=values.kerf),
    _length("saw.end_trim", "End trim", "what a mill end loses before the first part"),
    _truth("saw.end_trim_includes_cut", "End trim includes its cut",
        "whether the squaring cut's kerf is part of the end trim"),
    _truth("saw.mill_ends_accepted", "Mill ends accepted", "whether mill ends are used as they come"),
    _length("saw.safe_hold", "Safe hold",
        "the shortest length the vice may hold during a cut; 0 is no limit"),
    _choice("saw.clamp", _by_value(list(Clamp)), "Clamp", "which side of the cut the vice can hold"),
    _kept("saw.square_reads", values.square_reads, "Square cut reads",
        "what the saw's scale reads at a square cut: 0 or 90; with 90 its reading is printed beside each saw angle"),
    _truth("saw.share_mitres", "Share mitres",
           "whether one cut may part the mitres of two neighbours, their slants together"),
    _choice("saw.swings", _by_value(list(Swings)), "Saw swings",
            "which way it swings out of square; with one way the bar is rolled for a mitre that slants the other way"),
    Key("offcuts.keep_at_most", values.whole(0, 1000, "a whole number from 0 to 1000"), "Keep at most", "no limit",
        "how many offcuts of one section, grade and finish a plan may keep; the longest are kept, the others are scrap",
        field="most_kept"),
    _money("work.per_bar", "Work per bar",
        "what handling one bar counts for in the choice of bars; nobody is paid it"),
    _money("work.per_cut", "Work per cut",
        "what one cut counts for: each stroke of the saw, squaring and every mitre among them"),
    _money("work.per_setup", "Work per set-up",
        "what setting the saw counts for: once for each different part on a bar"),
    _length("carry.longest", "Longest carry",
        "the longest bar that can be brought home; 0 is no limit", field="longest_carry"),
    _length("carry.longest_with_flag", "Longest carry with flag",
        "the longest bar that can be brought home with a flag at its end, where that is longer; what is asked of it "
        "is local law", field="longest_flagged"),
    Key("carry.payload_kg", values.payload, "Payload", "0",
        "what trailer, rack or van may be loaded with for one trip, by its papers; 0 is not said", field="payload"),
    _money("carry.trip", "Trip",
        "what one trip to a merchant costs the workshop, counted where an order is fetched; nobody is paid it",
        field="trip_cost"),
    Key("carry.heavy_kg", values.heavy, "Heavy", "25",
        "a bar that weighs more is flagged; no limit is safe by itself", field="heavy"),
    _kept("defaults.finish", values.finish, "Finish", "the finish of a line that names none",
        field="default_finish"),
    Key("defaults.certificate", values.text, "Certificate wanted", "",
        "the inspection certificate that orders and enquiries ask for, such as EN 10204 type 3.1", field="certificate"),
    _choice("defaults.mitre_length", _by_value([meant for meant in LengthMeant if meant is not LengthMeant.ONE_SIDE]),
        "Mitre length", "the length meant at a mitre", field="mitre_length"),
    Key("defaults.gauge", values.gauge, "Gauge", "",
        "the table by which a wall such as 16 ga is meant; with none such a wall is refused", tuple(GAUGES), "gauge"),
    _kept("steel.density", values.density, "Density of steel", "kg per cubic metre", field="density"),
    Key("stock.lengths", values.text, "Stock lengths", "",
        "lengths on sale where no prices are known: 6 m, 7.5 m; or by section: 6 m; SHS 40x40x3: 6.5 m, 8 m"),
    _choice("lists.repeat_above", _by_value(list(Repeat)), "Repeat the cell above",
        "whether ditto marks, or they and empty cells, under Section, Grade and Finish repeat the cell above",
        default=Repeat.NO.value),
    _kept("drills.have", values.drills, "Own drills",
        "the drills there are, with semicolons between: metric by 0.5, metric by 0.1, inch by 64ths, letters and "
        "numbers, or sizes such as 6.8 or 1/2 in; cards then name the one that does not bind and the next size up",
        field="own_drills"),
    _kept("grades.also", values.grades, "Also serve",
        "grades that serve another one beside those of the same strength that the standards name: S235JRH: S275J0H; "
        "B: C; the designer decides", field="also_serve"),
    _kept("grades.never", values.grades, "Never serve",
        "grades that do not serve another one here, though the standards say so: S355: S355JRH", field="never_serve"),
    Key("files.prices", values.text, "Price list", "",
        "the price list, relative to this file; in a workbook read where the sheet Prices is empty"),
    Key("files.rack", values.text, "Rack file", "",
        "the rack file, relative to this file; in a workbook read where the sheet Rack is empty"),
    Key("files.ledger", values.text, "Rack's ledger", LEDGER, "the rack's ledger, relative to this file"),
    _kept("rack.hold_days", values.whole(1, 1000, "whole days from 1 to 1000, such as 14"), "Hold for days",
        "how many days a hold lasts"),
    _kept("rack.old_after_months", values.whole(1, 1000, "whole months from 1 to 1000, such as 12"),
        "Old after months", "after how many months a piece is named by rack old"),
    _money("rack.scrap_price_per_kg", "Scrap price per kg", "what scrap pays"),
    _percent("replan.stay", "Bars stay, percent",
        "how much more, in percent, the rest of a plan may cost so that bars stay as they were"),
    _minutes("hours.per_bar", "Minutes per bar", "minutes for fetching one bar, handling it and putting away its rest"),
    _minutes("hours.per_stop", "Minutes per stop", "minutes for setting the stop to another length"),
    _minutes("hours.per_cut", "Minutes per cut", "minutes for one stroke of the saw, besides the next"),
    _minutes("hours.per_cut_1000_mm2", "Minutes per 1000 mm2 cut",
        "minutes on top for every 1000 mm2 of the section it goes through"),
    _minutes("hours.per_hole", "Minutes per hole", "minutes for one wall drilled through, besides the next"),
    _minutes("hours.per_hole_10_mm", "Minutes per 10 mm of hole", "minutes on top for every 10 mm of its diameter"),
    _minutes("hours.per_weld_end", "Minutes per weld end",
        "minutes for fitting and welding on one end of a part, besides the next; 0 for both where nothing is welded"),
    _minutes("hours.per_weld_100_mm", "Minutes per 100 mm of weld",
        "minutes on top for every 100 mm of the outline of its section"),
    _money("cost.hour_rate", "Hour rate", "what an hour of the workshop costs, without tax like every amount here"),
    _percent("cost.consumables", "Consumables, percent", "wire, gas, discs and blades, in percent of the steel"),
    _money("cost.transport", "Transport", "an amount for every job, unless the command says another"),
    _percent("cost.overhead", "Overhead, percent", "in percent of all that is above it on the sheet of costs"),
    Key("cost.margin", values.margin, "Margin, percent", "0",
        "in percent of the price without tax: with 20 a cost of 400 makes a price of 500"),
    Key("cost.included", values.text, "Included in a quote", "",
        "what a quote says is included, with semicolons between"),
)
# fmt: on

FAMILY_TABLES: dict[str, FamilyTable] = {
    table.name: table
    for table in (
        FamilyTable(
            "minus_tolerance",
            lambda _: values.length,
            "Minus tolerance",
            lambda shop, family: f"{-shop.counted_on(family, 0)}",
            "how much shorter than its nominal length a bar may come",
        ),
        FamilyTable(
            "keep",
            lambda _: values.length,
            "Keep",
            lambda shop, family: length_text(shop.keep_length(family)),
            "the shortest left over that goes on the rack",
        ),
        FamilyTable(
            "offcut_value_per_m",
            lambda _: values.value_per_mm,
            "Offcut value per m",
            lambda shop, family: f"{shop.offcut_value(family)}",
            "what a metre of kept offcut is worth",
        ),
        FamilyTable(
            "standards",
            values.standard,
            "Standards",
            lambda shop, family: shop.standard(family),
            "the standard of a section whose line names none",
        ),
    )
}
"""Tables of the workshop file with a key for every family."""

# fmt: off
_REPEATED = (
    Key("merchant.name", values.text, "Name", "", "the name as in the price list"),
    _truth("merchant.delivers", "Delivers", "whether bars longer than the longest carry can be had from here"),
    _length("merchant.longest_delivered", "Longest delivered", "the longest bar that is delivered; 0 is no limit"),
    _choice("merchant.brought", _by_value(list(Brought)), "Brought",
        "how an order comes from a merchant who delivers: as a whole one way or the other, what is cheaper where the "
        "workshop says what it can carry or what a trip costs"),
    _money("merchant.delivery", "Delivery", "charged once when anything is bought here"),
    _money("merchant.minimum_order", "Minimum order", "a smaller order is charged as this much"),
    _money("merchant.free_delivery_from", "Free delivery from",
        "an order whose bars come to this much or more is delivered free; 0 is none"),
    _truth("merchant.cuts_to_plan", "Cuts to plan", "whether this merchant cuts its bars as the plan says"),
    _money("merchant.cut_charge", "Cut charge",
        "per cut, where the merchant makes the cuts; to be paid, and in place of work per cut"),
    _truth("merchant.cuts_to_carry", "Cuts to carry",
        "whether a length that is too long to carry is cut here into pieces that are not"),
    _money("merchant.carry_cut_charge", "Carry cut charge", "per such cut; to be paid"),
    Key("merchant.carry_cuts_free", values.whole(0, 1000, "a whole number from 0 to 1000"), "Carry cuts free", "0",
        "how many such cuts are free in one order"),
    Key("merchant.carry_kerf", values.length, "Carry kerf", "3 mm",
        "what such a cut removes; no less is counted than the workshop's own saw takes"),
    Key("merchant.carry_tolerance", values.length, "Carry tolerance", "5 mm",
        "by how much such a piece may come short"),
    _truth("merchant.carry_cuts_squared", "Carry cuts squared",
        "whether the ends that such a cut leaves are squared again, which takes an end trim off each"),
    Key("saws.name", values.text, "Name", "", "what it is called on the sheets, and under Saw in a list"),
    Key("saws.families", values.families, "Families", "all",
        "families of sections that it takes, such as SHS, RHS; blank is all"),
    _length("saws.largest", "Largest", "the largest side of a section that it takes; 0 is any"),
    Key("saws.steepest", values.steepest, "Steepest", f"{MAX_MITRE // DEGREE}",
        "the steepest angle from square that it cuts; 0 is square alone"),
    *(
        replace(key, name=f"saws.{key.word}", setting=key.word.replace("_", " ").capitalize())
        for key in _PLAIN
        if key.table == "saw"
    ),
    Key("coat.name", values.text, "Name", "", "what is put on, such as green paint or hot-dip galvanising"),
    _kept("coat.on", values.finish, "On", "the finish, as the parts list has it, of the parts that get it"),
    _money("coat.per_m2", "Per m2", "price of a square metre of outside surface, once"),
    _money("coat.per_kg", "Per kg", "price of a kilogram of parts"),
    _money("coat.litre", "Litre", "price of a litre of what the workshop puts on itself"),
    Key("coat.litre_covers", values.amount("square metres from 0.1 to 1000, such as 9"), "Litre covers", "",
        "square metres that a litre covers once"),
    _kept("coat.times", values.whole(1, 20, "a whole number from 1 to 20"), "Times", "how often it is put on"),
    _minutes("coat.minutes_per_m2", "Minutes per m2", "the workshop's own minutes for a square metre, once"),
    _money("coat.least", "Least", "what is charged at least for all of it"),
    Key("material.name", values.material_name, "Name", "",
        "a name of the workshop's own, or a known one with another density"),
    Key("material.density", values.density, "Density", "", "kg per cubic metre"),
    Key("section.name", values.section_name, "Name", "", "how it is called in the lists"),
    Key("section.height", values.side, "Height", "", "outside dimension"),
    Key("section.width", values.side, "Width", "", "outside dimension"),
    Key("section.thickness", values.side, "Thickness", "the smaller of both", "wall; needed with legs"),
    Key("section.mass_per_m", values.amount("kilograms a metre from 0.001 to 10000, such as 2.55"),
        "Mass per m", "", "kg a metre, as the supplier says"),
    Key("section.area", values.amount("square millimetres from 0.001 to 10000000, such as 325"),
        "Area", "from the mass", "square millimetres"),
    Key("section.surface_per_m", values.amount("square metres a metre from 0.001 to 100, such as 0.25"),
        "Surface per m", "of height and width", "square metres a metre, to be painted"),
    Key("section.legs", values.legs, "Legs", "",
        "a strip folded at right angles: outside dimensions of its flat parts in order, such as 20, 40, 20, "
        "in a workshop file in brackets"),
    Key("section.bend_radius", values.side, "Bend radius", "the thickness", "inside radius of the folds"),
    Key("section.material", values.text, "Material", "carbon steel", "such as aluminium"),
)
# fmt: on
"""Keys of the tables that may be repeated, one block per merchant, saw, coat, material or section."""

SETTINGS: dict[str, Key] = {key.name: key for key in _PLAIN}
"""Keys that a workshop has once."""
OF_FAMILIES: dict[str, Key] = {key.name: key for table in FAMILY_TABLES.values() for key in table.of_families()}
BLOCKS: dict[str, dict[str, Key]] = {
    table: {key.word: key for key in _REPEATED if key.table == table}
    for table in dict.fromkeys(key.table for key in _REPEATED)
}
"""The tables that may be repeated, and their keys by word."""
SAWS = "saws"
"""Several saws: blocks headed ``[[saw]]``, which TOML keeps under the name of the table of one saw."""


def headed(table: str) -> str:
    """What the blocks of a table are headed by in the file."""
    return "saw" if table == SAWS else table


KEYS: dict[str, Key] = SETTINGS | OF_FAMILIES | {key.name: key for key in _REPEATED}
"""Every key a workshop may have."""
