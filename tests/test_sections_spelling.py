"""The grammar of section names: what is understood, what is refused and what is offered instead."""

from __future__ import annotations

import re

import pytest

from cutplan.problems import Refused
from cutplan.sections.section import Family
from cutplan.sections.spelling import parse
from cutplan.units import INCH, MM
from tests.accepted_spellings import ACCEPTED_SPELLINGS

UNDERSTOOD = [pair for pairs in ACCEPTED_SPELLINGS.values() for pair in pairs]


@pytest.mark.parametrize(("typed", "spelled"), UNDERSTOOD)
def test_understood_as(typed: str, spelled: str) -> None:
    name = parse(typed)
    assert name.designation == spelled
    assert parse(spelled).designation == spelled


def test_dimensions_are_exact() -> None:
    name = parse("L 3x2x3/16")
    assert (name.family, name.height, name.width, name.thickness) == (Family.UA, 3 * INCH, 2 * INCH, INCH * 3 // 16)
    flat = parse("6x50 flat")
    assert (flat.height, flat.width, flat.thickness) == (50 * MM, 6 * MM, 6 * MM)
    bar = parse("RD 15/64")
    assert bar.height == bar.width == bar.thickness == 15 * INCH // 64


@pytest.mark.parametrize(
    ("typed", "finish", "standard"),
    [
        ("1 inch round bright", "bright", ""),
        ("galvanised SHS 40x40x3", "galvanised", ""),
        ("HSS 2x2x1/8", "", "ASTM A500"),
        ("HSS1.900X0.145", "", "ASTM A500"),
        ("ISA 50x50x5", "", "IS 808"),
        ("SHS 40x40x3", "", ""),
    ],
)
def test_finish_and_standard_that_words_name(typed: str, finish: str, standard: str) -> None:
    name = parse(typed)
    assert (name.finish, name.standard) == (finish, standard)


OTHERWISE = "a family word and its dimensions, such as SHS 40x40x3, CHS 48.3x3.2, EA 50x50x5, FL 50x6 or RD 16"
BY_BORE = "pipe by its bore with its class or schedule, such as "
WALL = "the wall as a decimal in mm or a fraction of an inch, such as SHS 25x25x1.6"
TABLES = "a size of the tables here, such as "
TABLES_OF_PIPE = "a size and schedule of the tables here, such as "
TEES = "the beam that the tee is cut from, such as T from IPE 100 or T from UB 203x133x25 or T from W8X31"
ELSEWHERE = "a length goes into the length column, not into the name"

REFUSED = [
    # No family word: every reading is offered.
    ("50x50x5", "the family too, such as SHS 50x50x5 or EA 50x50x5", "no word says which family"),
    ("50x25x2", "the family too, such as RHS 50x25x2 or UA 50x25x2", "no word says which family"),
    ("2x2x1/4", 'the family too, such as SHS 2"x2"x1/4" or EA 2"x2"x1/4"', "no word says which family"),
    ("50x5", "the family too, such as SHS 50x5 or CHS 50x5 or EA 50x5 or FL 50x5", "no word says which family"),
    ("12", "the family too, such as SQ 12 or RD 12", "no word says which family"),
    ("12 bar", "the family too, such as SQ 12 or RD 12", "the words do not say which family"),
    ("30x30x2x6000", "the family too, such as SHS 30x30x2 or EA 30x30x2", "no word says which family"),
    # A dimension is missing.
    ("SHS 40x40", "the sides and the wall, such as SHS 40x40x3", ""),
    ("SHS 60x40", "the sides and the wall, such as RHS 60x40x3", ""),
    ("box 30", "the sides and the wall, such as SHS 30x30x3", ""),
    ("RHS 60x40", "two sides and the wall, such as RHS 60x40x3", ""),
    ("CHS 48.3", "the outside diameter and the wall, such as CHS 48.3x3", ""),
    ("HSS 2", 'the sides or diameter and the wall, such as HSS 2"x2"x1/8"', ""),
    ("angle 50x50", "both legs and the thickness, such as EA 50x50x3", ""),
    ("UA 75x50", "both legs and the thickness, such as UA 75x50x3", ""),
    ("flat 50", "width and thickness, such as FL 50x3", ""),
    ("1 inch tube", 'square or round, with its wall, such as SHS 1"x1"x1/8" or CHS 1"x1/8"', ""),
    ("tube 48.3x3.2", "square or round, with its wall, such as SHS 48.3x48.3x3.2 or CHS 48.3x3.2", ""),
    ("SHS", OTHERWISE, "dimensions are missing"),
    # Pipe: the bore is no diameter, and class or schedule tells the wall.
    (
        "1 inch pipe",
        BY_BORE + "PIPE 25 NB medium or PIPE NPS 1 Sch 40",
        "class or schedule is missing (1 inch pipe is 33.7 mm outside)",
    ),
    (
        "25 mm pipe",
        BY_BORE + "PIPE 25 NB medium or PIPE NPS 1 Sch 40",
        "class or schedule is missing (25 NB pipe is 33.7 mm outside)",
    ),
    (
        "1 1/2 pipe",
        BY_BORE + "PIPE 40 NB medium or PIPE NPS 1-1/2 Sch 40",
        "class or schedule is missing (1-1/2 inch pipe is 48.3 mm outside)",
    ),
    (
        "8 inch pipe",
        BY_BORE + "PIPE 40 NB medium or PIPE NPS 1-1/2 Sch 40",
        "class or schedule is missing (1 inch pipe is 33.7 mm outside)",
    ),
    (
        "40 NB medium sch 40",
        BY_BORE + "PIPE 40 NB medium or PIPE NPS 1-1/2 Sch 40",
        "a class or a schedule, not both (40 NB pipe is 48.3 mm outside)",
    ),
    ("40 NB heavy duty", BY_BORE + "PIPE 40 NB medium", 'the word "duty" is not known here'),
    ("pipe", BY_BORE + "PIPE 40 NB medium or PIPE NPS 1-1/2 Sch 40", ""),
    (
        "pipe 48.3x3.2",
        "pipe by its bore with its class or schedule, or round tube by its outside diameter, such as CHS 48.3x3.2",
        "",
    ),
    ("41 NB medium", "a nominal bore of 15, 20, 25, 32, 40, 50, 65, 80, 100 mm, such as PIPE 40 NB medium", ""),
    ("NPS 7 sch 40", TABLES_OF_PIPE + "PIPE NPS 1 Sch 40 or PIPE NPS 1-1/2 Sch 40", ""),
    (
        "NPS 1 sch 30",
        TABLES_OF_PIPE + "PIPE NPS 1 Sch 40 or PIPE NPS 1 Sch 80 or PIPE NPS 1 Sch 160 or PIPE NPS 1 XXS",
        "",
    ),
    # Gauge: four tables, four walls.
    (
        "16 ga tube",
        WALL,
        "a gauge number has several meanings (16 gauge is 1.52 to 1.65 mm): measure the wall, or let the workshop "
        'file name the merchant\'s table, defaults.gauge = "BWG" or "SWG" or "US sheet"',
    ),
    ("25x25 ga 16 SHS", OTHERWISE, "write one x between two dimensions, and none before or after them"),
    ("25x25x3 ga. SHS gauge", WALL, "a gauge number stands before its word: 16 ga"),
    ("25x25x40 SWG SHS", "a whole gauge number of SWG from 7 to 22, such as SHS 25x25x16 SWG", ""),
    # The last number of a channel or beam is its mass, or is missing.
    (
        "PFC 100x50x6",
        TABLES + "PFC 100x50x10",
        "the last number is the mass in kg/m, not a thickness, and no such size has 6",
    ),
    ("PFC 100x50", TABLES + "PFC 100x50x10", "the name ends with the mass in kg/m"),
    ("UB 203", TABLES + "UB 203x102x23 or UB 203x133x25 or UB 203x133x30", "the name ends with the mass in kg/m"),
    (
        "200UB",
        TABLES + "200UB18.2 or 200UB22.3 or 200UB25.4 or 200UB29.8",
        "the name ends with the mass in kg/m",
    ),
    (
        "203x133x6 UB",
        TABLES + "UB 203x133x25 or UB 203x133x30",
        "the last number is the mass in kg/m, not a thickness, and no such size has 6",
    ),
    (
        "W8x32",
        TABLES + "W8X24 or W8X28 or W8X31 or W8X35",
        "the last number is the mass in lb/ft, not a thickness, and no such size has 32",
    ),
    ("HEA 105", TABLES + "HEA 100 or HEA 120 or HEA 140 or HEA 160", ""),
    ("IPE", TABLES + "IPE 80 or IPE 100 or IPE 120 or IPE 140", ""),
    ("100 channel", TABLES + "100PFC or PFC 100x50x10 or UPE 100 or UPN 100", "a channel is named by its series"),
    ("100x50x5 channel", TABLES + "PFC 100x50x10", "a channel is named by its series"),
    ("beam 200", TABLES + "IPE 200 or HEA 200 or HEB 200 or HEM 200", "a beam is named by its series"),
    ("C 100", TABLES + "100PFC or PFC 100x50x10 or UPE 100 or UPN 100", ""),
    ("tee 50x50x6", TEES, ""),
    ("half UPN 100", TEES, ""),
    (
        "T from IPE 90",
        TEES.split(" such as ")[0] + " such as T from IPE 80 or T from IPE 100 or T from IPE 120 or T from IPE 140",
        "",
    ),
    # The family says one thing, the dimensions another.
    ("SHS 40x25x3", "a square tube has two equal sides: RHS for a rectangular one, such as RHS 40x25x3", ""),
    ("RHS 40x40x3", "a rectangular tube has two different sides: SHS for a square one, such as SHS 40x40x3", ""),
    ("EA 75x50x6", "an equal angle has two equal legs: UA for unequal ones, such as UA 75x50x6", ""),
    ("UA 50x50x5", "an unequal angle has two different legs: EA for equal ones, such as EA 50x50x5", ""),
    ("flat 10x10", "two different sides for a flat, one for a square bar, such as SQ 10", ""),
    (
        "round 48.3x3.2",
        "one diameter for a round bar, diameter and wall for a round tube, such as RD 48.3 or CHS 48.3x3.2",
        "",
    ),
    (
        "SQ 40x3",
        "one side for a square bar, a family word for tube and flat, such as SQ 40 or SHS 40x40x3 or FL 40x3",
        "",
    ),
    (
        "square 40x40x3",
        "one side for a square bar, a family word for tube and flat, such as SQ 40 or SHS 40x40x3",
        "",
    ),
    ("CHS 48x3", "the exact outside diameter: 48.3 is a listed one, such as CHS 48.3x3 or CHS 48.0x3", ""),
    # Thickness.
    ("SHS 40x40x20", "a thickness below half the side, written last, such as SHS 40x40x3", ""),
    ("angle 50x50x25", "a thickness below half the side, written last, such as EA 50x50x3", ""),
    ("CHS 3.2x48.3", "a thickness below half the side, written last, such as CHS 48.3x3.2", ""),
    ("SHS 40x40x0.3", "a thickness from 0.4 to 100 mm, such as SHS 40x40x3", ""),
    ("SHS 3000x3000x10", OTHERWISE, "sides from 5 to 2500 mm"),
    ("flat 50x0.2", "a flat from 5 to 2500 mm wide and from 0.4 to 100 mm thick, such as FL 50x6", ""),
    ("RD 600", "a bar from 3 to 500 mm, such as RD 16", ""),
    # Inches that are not marked, and inches among millimetres.
    ("2x2x.125 square tube", OTHERWISE, 'are inches meant? mark them: 2"x2"x1/8"'),
    ("1 round", "a bar from 3 to 500 mm, such as RD 16", 'are inches meant? mark them: 1"'),
    (
        "2x.25 flat",
        "a flat from 5 to 2500 mm wide and from 0.4 to 100 mm thick, such as FL 50x6",
        'are inches meant? mark them: 2"x1/4"',
    ),
    ('SHS 2"x50x3mm', OTHERWISE, "inches and millimetres are mixed in one name (a fraction and HSS mean inches)"),
    (
        "HSS 50mm x 50mm x 3mm",
        OTHERWISE,
        "inches and millimetres are mixed in one name (a fraction and HSS mean inches)",
    ),
    ("40x40x1/8 angle", OTHERWISE, "a fraction, an inch mark or HSS makes the whole name inches: 40 inches?"),
    ("HSS 50x50x3", OTHERWISE, "a fraction, an inch mark or HSS makes the whole name inches: 50 inches?"),
    # What belongs into another column.
    ("30x30x2x6000 SHS", "3 dimensions, such as SHS 30x30x2", ELSEWHERE),
    ("flat 50x6x3000", "2 dimensions, such as FL 50x6", ELSEWHERE),
    ("RD 12x6000", "one diameter for a round bar, diameter and wall for a round tube, such as RD 12", ELSEWHERE),
    ("SHS 40x40x3 6m", OTHERWISE, ELSEWHERE),
    ("SHS 40x40x3 20'", OTHERWISE, ELSEWHERE),
    ("SHS 40x40x3 S275", OTHERWISE, "a grade goes into the column Grade, not into the name"),
    ("SHS 40x40x3 EN 10219", OTHERWISE, "a standard goes into the column Standard, not into the name"),
    # Other products.
    ("M12 rod", OTHERWISE, "not a section: threaded rod"),
    ("12 rebar", OTHERWISE, "not a section: reinforcing bar"),
    ("UB 203x133x25 S275", OTHERWISE, "a grade goes into the column Grade, not into the name"),
    ("3mm sheet", OTHERWISE, "not a section: sheet, plate and mesh"),
    # Slips.
    (
        "48,3x3,2 CHS",
        OTHERWISE,
        "a comma between digits may be decimal or separate: write a point, or set workshop.decimal_sign",
    ),
    ("SSH 40x40x3", OTHERWISE, 'did you mean "SHS"?'),
    ("ANGEL 50x50x5", OTHERWISE, 'did you mean "ANGLE"?'),
    ("zebra 50x50x5", OTHERWISE, 'the word "zebra" is not known here'),
    ("SHS 40x40x3!", OTHERWISE, '"!" has no place in the name of a section'),
    ("SHS 40 40 3", OTHERWISE, "write one x between two dimensions, and none before or after them"),
    ("SHS x40x40x3", OTHERWISE, "write one x between two dimensions, and none before or after them"),
    ("SHS 40x40x", OTHERWISE, "write one x between two dimensions, and none before or after them"),
    ("bright black RD 12", OTHERWISE, "two finishes in one name: black and bright"),
    ("SHS 0x0x0", OTHERWISE, "a dimension is more than 0"),
    ("RD 1/0", OTHERWISE, "a fraction with nothing below the line"),
    ("RD 1/3", OTHERWISE, "1/3 is finer than a millionth of a millimetre"),
    ("", OTHERWISE, ""),
    ("   ", OTHERWISE, ""),
    ("x" * 81, OTHERWISE, "this is too long for the name of a section"),
]

EXAMPLE = re.compile(
    r"""\b(?:SHS|RHS|CHS|EA|UA|FL|SQ|RD|HSS)\ \d[\d."/x-]*(?:\ SWG)?|PIPE\ .+?(?=\ or\ |$)|T\ from\ .+?(?=\ or\ |$)
    |(?:such\ as|or)\ ((?:\d+)?(?:PFC|UP[NE]|U[BC]|W|HE[ABM]|IPE).*?)(?=\ or\ |$)""",
    re.VERBOSE,
)


@pytest.mark.parametrize(("typed", "accepted", "hint"), REFUSED)
def test_refused_with_what_is_accepted(typed: str, accepted: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse(typed)
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (typed, accepted, hint)


LETTERS = [
    ("SHS 40x4Ox3", "O", "SHS 40x40x3"),
    ("SHS 4Ox4Ox3", "O", "SHS 40x40x3"),
    ("FL 5ox6", "o", "FL 50x6"),
    ("IPE 8O", "O", "IPE 80"),
    ("UPN 1OO", "O", "UPN 100"),
    ("UB 203x1O2x23", "O", "UB 203x102x23"),
    ("4O x 4O x 3 box", "O", "40 x 40 x 3 box"),
    ("FL 50xl0", "l", "FL 50x10"),
    ("HEA l00", "l", "HEA 100"),
    ("SHS 40x40xl.5", "l", "SHS 40x40x1.5"),
    ("HSS 2x2xl/8", "l", "HSS 2x2x1/8"),
    ("W8X3I", "I", "W8X31"),
    ("FL S0x6", "S", "FL 50x6"),
    ("FL 4Sx6", "S", "FL 45x6"),
]


@pytest.mark.parametrize(("typed", "letter", "meant"), LETTERS)
def test_a_letter_for_a_digit_is_named(typed: str, letter: str, meant: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse(typed)
    assert refusal.value.hint == f'letter {letter} where a digit is expected: did you mean "{meant}"?'
    parse(meant)


def test_two_letters_for_digits_are_named() -> None:
    with pytest.raises(Refused) as refusal:
        parse("SHS lOOxlOOx4")
    assert refusal.value.hint == 'letters O and l where digits are expected: did you mean "SHS 100x100x4"?'


@pytest.mark.parametrize("typed", ["SHS 40x4Ox", "SHS 100x100x4S", "IPE Oval", "OS 40x3", "SOLID 40x", "O", "l", "S5"])
def test_no_letter_is_named_where_digits_make_no_section_of_it(typed: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse(typed)
    assert "letter" not in refusal.value.hint


@pytest.mark.parametrize("accepted", sorted({accepted for _, accepted, _ in REFUSED}))
def test_every_example_given_is_accepted(accepted: str) -> None:
    examples = [match[1] or match[0] for match in EXAMPLE.finditer(accepted)]
    assert examples
    for example in examples:
        parse(example)


def test_refusing_twice_says_the_same() -> None:
    messages = []
    for _ in range(2):
        with pytest.raises(Refused) as refusal:
            parse("SHS 40x40")
        messages.append(str(refusal.value))
    assert messages[0] == messages[1] == 'found "SHS 40x40". Accepted: the sides and the wall, such as SHS 40x40x3'


@pytest.mark.parametrize("typed", ["48", "60", "76", "89", "114", "140", "168", "219", "42", "34", "27", "21"])
def test_whole_number_diameter_near_a_listed_one_needs_its_decimal(typed: str) -> None:
    with pytest.raises(Refused, match="listed one"):
        parse(f"CHS {typed}x3")
    assert parse(f"CHS {typed}.0x3").designation == f"CHS {typed}.0x3"
