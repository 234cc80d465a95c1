"""The codes of all refusals, warnings and assumptions: words for programs that stay where the sentences change.

A code is a subject and what is wrong with it. A subject says what is accepted wherever nothing else is said for a code
of its own. ``tests/test_problem_codes.py`` holds the code of every refusal in the package to this list.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Code:
    """When a code is given, and what is accepted in place of what was found or assumed."""

    when: str
    accepted: str


_SUBJECTS: dict[str, tuple[str, dict[str, str | tuple[str, str]]]] = {
    "number": (
        "a plain number, such as 12.5",
        {
            "unreadable": "not a number",
            "comma": "a comma that may stand for thousands or for decimals",
            "sign": (
                "points and commas that do not fit the decimal sign of the workshop",
                "numbers with the workshop's decimal sign",
            ),
            "negative": ("a number below 0", "0 or more"),
            "own": ("a number of an order or a quote that its files cannot be named by", "such as Q7 or 2031-014"),
            "fraction": ("a fraction over nothing, or of one or more behind a whole number", "such as 1 5/8 in"),
        },
    ),
    "quantity": (
        "a whole number from 1 to 100000",
        {
            "unreadable": "not a whole number, or out of these bounds",
            "most": "more than this of one mark, all its rows added",
        },
    ),
    "length": (
        "a length such as 6200, 6.2 m or 20' 4 1/8\"",
        {
            "unreadable": "not a length",
            "comma": "a comma that may stand for thousands or for decimals",
            "zero": ("a length of 0 or below", "more than 0"),
            "fraction": ("a fraction without its unit", "47 1/4 in"),
            "fine": ("finer than a millionth of a millimetre", "a rounded figure"),
            "units": ("units in the wrong order, or a part of a larger unit beside a smaller", "3' 6 1/2\""),
            "most": ("longer than any bar", "a length up to that of the longest bar, or its unit beside it"),
            "mixed": ("warning: bare numbers in a list with units of another scale", "one unit in a list"),
            "scale": ("warning: a length far from those of its list", "a length in the scale of its neighbours"),
            "long": ("warning: a length longer than is usually sold", "a length that is sold and carried"),
        },
    ),
    "angle": (
        "an angle counted from square, such as 45, 22.5 or slope 3:12",
        {
            "unreadable": "not an angle",
            "square": ("90 for a square end", "0 or a blank cell"),
            "steep": "more than 75 degrees, or finer than a millionth of one",
            "slope": "a slope that runs over nothing",
        },
    ),
    "money": (
        "an amount such as 12.50",
        {
            "most": ("more than any price", "an amount up to 10000000"),
            "currency": "an amount in another currency than the workshop's",
        },
    ),
    "weight": (
        "a weight such as 0.4 kg or 12 oz",
        {"unreadable": "not a weight", "most": ("more than a thing that is not cut weighs", "up to 1000 kg each")},
    ),
    "section": (
        "a section such as SHS 40x40x3, EA 50x50x5, FL 50x6 or RD 12",
        {
            "unknown": "a word that names no section",
            "family": "dimensions without the word that says of which family",
            "dimensions": "dimensions too few or too many for the family",
            "sides": "sides that the family does not have",
            "wall": "a wall that the sides leave no room for",
            "corners": "a wall too thick for the corners of the standard",
            "diameter": ("a rounded diameter beside a listed one", "the exact outside diameter, such as CHS 48.3x3.2"),
            "size": ("a size that the tables do not have", "one of the sizes offered"),
            "pipe": ("a pipe by a bore or a schedule that is not complete", "such as PIPE 40 NB medium"),
            "tee": ("a tee without the beam it is cut from", "one of the beams offered"),
            "gauge": ("a gauge number with several meanings", "the wall in mm, or the gauge table by name"),
            "units": "inches and millimetres in one name",
            "sign": "an x missing between two dimensions, or one too many",
            "comma": "a comma that may part dimensions or decimals",
            "length": "a length in the name",
            "words": "a standard or a grade in the name",
            "finish": "two finishes in one name",
            "material": "two materials in one name, or stainless without its kind",
            "thing": "a thing that is no section, such as a sheet",
            "long": "a name that is too long",
        },
    ),
    "own_section": (
        "a block of the workshop file that says enough of a section of its own",
        {
            "twice": "the same section in two blocks",
            "known": ("a name that means a section already", "a name of its own, such as Slotted rail 41"),
            "key": "a dimension missing that others need",
            "wall": "a thickness of height or width or more",
            "legs": "legs shorter than the bends at their ends",
            "material": "a material that is not known",
            "mass": "heavier than solid material of these outside dimensions",
            "drawn": "neither the legs nor mass and area",
        },
    ),
    "family": ("a family word, such as SHS or UB", {"unknown": "a word that is no family"}),
    "standard": (
        "a standard to which the section is made",
        {
            "unknown": "a standard that is not known for the family",
            "rolled": "another standard than the one the section is rolled to",
            "other": "a size that the workshop's standard does not have",
            "differs": "one section with two standards, one of them the workshop's",
        },
    ),
    "grade": (
        "the grade that the name says, or a blank cell",
        {
            "named": "another grade than the name says",
            "weaker": (
                "warning: a grade with a lower yield, or of another kind of name, that `grades.also` lets serve",
                "what the designer allows",
            ),
        },
    ),
    "finish": ("the finish that the name says, or a blank cell", {"named": "another finish than the name says"}),
    "cell": (
        "a value of its own in the cell",
        {
            "blank": "a blank cell that must be filled",
            "date": ("a date made by the spreadsheet", "the cell formatted as text, typed again"),
            "error": ("a fault of a formula", "a file saved after calculating"),
            "merged": "cells merged across columns, with a heading, or a number of pieces over rows",
            "merged_down": ("warning: a merged cell that was read in every row it covers", "one value for these rows"),
            "text": ("letters that cannot be seen, or too many of them", "plain text of at most 1000 characters"),
            "word": ("a word that the column does not have", "one of the words it has"),
            "ditto": "a sign for the cell above where none is allowed or nothing is above",
        },
    ),
    "heading": (
        "the headings of the list, in any order",
        {
            "none": "no row with the headings needed",
            "missing": "a heading needed that is missing",
            "twice": ("two headings for one column", "one heading for it"),
            "unknown": "a heading that is not known",
            "blank": ("a value in a column without a heading", "nothing there"),
        },
    ),
    "sheet": (
        "one visible sheet with the headings",
        {
            "several": "more than one sheet with the headings",
            "together": ("warning: several sheets read as one list", "one list on several sheets, or --sheet"),
            "copy": ("warning: two sheets with the same rows, both read", "a sheet for each list"),
            "units": ("a column in one unit here and in another on the next sheet", "one unit for a column"),
            "unread": (
                "warning: a sheet named as one that is read, without its headings, hidden, or beside another",
                "its headings, or another name",
            ),
            "missing": ("a sheet that the file has not", "the name of one that it has"),
            "hidden": "warning: a hidden sheet with the headings, not read",
            "size": ("a value beyond the rows and columns that are read", "a smaller sheet"),
        },
    ),
    "list": (
        "a list with one part in each row",
        {
            "empty": "no rows, or no part to cut in them",
            "rows": "more rows than are read",
            "sections": "more different sections than are read",
            "second_table": "the headings of a second table below the first",
            "aside": "warning: a line that is not a part, passed over",
            "hidden_rows": "warning: rows that are hidden and were read",
            "times": (
                "a title, or a sheet's name, that says how many are made, where nobody has said what its number means",
                "--times, with how often the list is made",
            ),
            "times_otherwise": (
                "warning: a sheet that says another number than all is made",
                "a row assembly with how often it is made",
            ),
            "many_problems": "a hundred problems; the rest was not looked at",
            "many_warnings": "a hundred warnings; the rest is counted",
            "formulas": ("formulas where rows are to be added", "a list of plain values"),
            "no_price": "neither a price list nor a stock length",
            "typed": ("typed text that is no part", "SHS 40x40x3: 4 @ 1200, 2 @ 850"),
        },
    ),
    "mark": (
        "a mark of its own for every different part or piece",
        {
            "twice": "a mark that another part or piece has",
            "long": "a mark longer than a label holds",
            "opposite": "the mark that an opposite hand would be given",
        },
    ),
    "part": (
        "a part that a bar on sale or in the rack can give",
        {
            "too_long": "a part longer than every bar",
            "no_offer": "a section without a stock length and without an offcut",
            "saw": ("a part that no saw takes, or a saw that is not there", "a part that it takes, or another saw"),
            "length": "a length that its ends leave nothing of, or no length",
        },
    ),
    "end": (
        "ends that the section can have",
        {
            "length_is": "a length meant otherwise than the ends allow",
            "length": "mitres that leave nothing of the length",
            "depth": "a depth that is no side of the section",
            "on_table": "a face on the table that the section does not have",
            "heel": "a heel that the section does not have",
            "cope": "a cope that the end cannot have",
        },
    ),
    "allowance": (
        "a length to be added, such as 2 or 1/8 in",
        {"fit": "a cut to fit that cannot be read", "twice": "two allowances for one purpose above the headings"},
    ),
    "spares": ("a number, a share or blank, such as 2 or 10 %", {"unreadable": "not spares", "most": "too many"}),
    "stamp": (
        "one text for all copies, or one for each with semicolons between",
        {"count": "neither one text nor as many as the quantity, or several beside an opposite hand"},
    ),
    "assembly": (
        "one line for each assembly of the list",
        {"twice": "two lines for one assembly", "unknown": "a line for an assembly that no part is of"},
    ),
    "other": (
        "a line of what is bought and not cut, with the columns it has",
        {
            "column": ("a value in a column that such a line does not have", "a blank cell"),
            "spares": ("spares on a line that is not cut", "the number under Quantity"),
            "not_read": "warning: a value of such a line that is not read",
        },
    ),
    "hole": (
        "a hole such as 14, M12 clear or M10 tapped",
        {
            "unreadable": "not a hole, or one that is too small",
            "purpose": "a bolt without clear or tapped, or with a word of the other",
            "pitch": "a thread without its pitch",
            "bolt": "a bolt that the table does not have",
            "thread": "a thread that the table does not have",
            "face": ("a face that the section does not have", "one of its faces"),
            "across": "a place across a round section",
            "drilled": ("not through and not one wall", "through or one wall"),
            "solid": ("one wall of what is solid", "through"),
            "place": ("a hole that does not fit where it is", "a place with steel round it"),
            "most": ("more holes in a part than are read", "fewer"),
            "cell": ("a cell of holes that cannot be read", "M12 clear at 50, 125"),
            "marks": ("a row of holes without marks or with too much", "marks, or a pattern, or both with no hole"),
            "pattern": ("a pattern that has no rows", "a pattern with rows of its own"),
            "mark_unknown": ("a mark that the list does not have", "marks of the parts list"),
            "two_places": ("holes in the list and in a list of holes", "holes in one place"),
        },
    ),
    "position": (
        "positions from end A, such as 50, 125 or 3 @ 100",
        {
            "unreadable": "not positions",
            "most": "more holes in a row than are read",
            "division": "equal division into fewer than two",
            "pitch": "a pitch or a number of 0",
            "product": "holes and pitch that do not come to the length beside them",
            "units": "a unit at some figures and none at others",
        },
    ),
    "price": (
        "a price with what it is per",
        {
            "unreadable": ("not a price", "an amount, or a blank cell"),
            "per": ("no word, or none that is known, for what a price is per", "each, per m, per kg and others"),
            "tax": ("a price with tax beside prices without", "all with or all without, or the rate"),
            "available": "not a number of lengths to be had",
            "dear": "warning: dearer than any steel",
            "unanswered": "warning: rows that were asked for and have no answer",
            "day": ("a day to come for prices that were quoted", "today, or a day before"),
            "row": ("no row of an offer, or no price beside it", "a row of the price list, a colon and a price"),
            "past": ("a line among the past prices that is none", "the list as it was noted"),
        },
    ),
    "offer": (
        "each offer once, longer than its tolerance",
        {
            "twice": "an offer twice",
            "tolerance": "an offer no longer than its minus tolerance",
            "unsold": ("nothing of a job that a merchant is known to sell", "a price list with its sections"),
        },
    ),
    "stock": (
        "stock lengths such as SHS 40x40x3: 6 m, 7.5 m",
        {
            "unreadable": "not stock lengths",
            "short": "stock lengths with nothing left behind the tolerance",
            "section": "stock lengths of a section that needs none",
        },
    ),
    "odd": (
        "nothing, if it is meant so; `Looked at` silences it",
        {
            "short_part": "warning: a very short part",
            "near_twins": "warning: lengths that differ by very little",
            "marks": "warning: marks that are taken for one another",
            "assembly": "warning: two spellings of one assembly",
            "lone_section": "warning: a bar bought for one small part",
            "whole_bar": "warning: a part as long as a whole bar",
            "no_spare": "warning: a part for which there is no second bar",
            "standards": "warning: one section to two standards",
            "walls": "warning: two walls of one size in an assembly",
            "grades": "warning: two grades in an assembly",
            "lone_part": "warning: an assembly of one part",
            "joined": "warning: a part as long as a sum of others",
        },
    ),
    "workshop": (
        "a key of the workshop file with a value it takes",
        {
            "unknown": "a key or a table that is not known",
            "value": "a value that the key does not take",
            "grades": ("grades without what serves them", "`grades.also` such as S235JRH: S275J0H; B: C"),
            "drills": ("drills that name neither a set nor a size", "`drills.have` such as metric by 0.5; 6.8"),
            "table": "a value where a table is expected",
            "block": "a value where blocks are expected",
            "name": "a block without a name",
            "twice": ("a key or a block twice", "each once"),
            "toml": ("what TOML does not allow", "a TOML file"),
            "several": ("several workshop files in the folder", "one, or --workshop"),
            "saws": ("keys of one saw beside blocks of several", "one `[saw]`, or `[[saw]]` blocks"),
            "density": ("a material without its density", "a key density"),
            "coat": ("a coat with a price of a litre and not what it covers, or the other way", "both, or neither"),
            "end_trim": ("an end trim shorter than the kerf", "0, or at least one kerf"),
            "currency": ("another currency than that of the plan", "the plan's, or the job planned again"),
            "offcut_value": ("offcuts worth more than a longer bar costs", "less, as the message says"),
        },
    ),
    "merchant": (
        "a merchant of the workshop file or the price list",
        {
            "unknown": "a merchant that is not known",
            "brought": ("an order delivered by a merchant who does not deliver", "`delivers = true` beside it"),
            "cuts_free": ("not a number of cuts that an order has free", "a whole number from 0 to 1000"),
            "library": ("charges to put into the workshop file, without tomlkit", 'pip install "cutplan[web]" first'),
            "no_charges": (
                "a form that says nothing of charges, to be put into the workshop file",
                "its sheet Charges",
            ),
            "otherwise": ("warning: a charge on a form that the workshop file has otherwise", "the same in both"),
            "twice": ("two figures for one charge of a merchant", "one figure"),
            "delivery": (
                "warning: a delivery charged by a merchant who does not deliver",
                "`delivers = true` beside it, or no delivery",
            ),
            "unlisted": (
                "terms in the workshop file, or on a form, of a merchant that the price list does not name",
                "a merchant of the price list, spelled as there",
            ),
        },
    ),
    "kerf": (
        "a kerf that the end trim includes",
        {
            "trim": "a kerf above the end trim",
            "saw": ("a kerf of one of several saws, or of none that is known", "its name too, such as band saw: 2 mm"),
        },
    ),
    "mitres": ("a workshop whose mitres share cuts", {"apart": "compared without shared cuts where none are shared"}),
    "assumed": (
        "a key of the workshop file, or a cell of the list, that says otherwise",
        {
            "workshop_file": ("which workshop file was read, or that there is none", "`--workshop`"),
            "unit": ("the unit of bare numbers", "`workshop.unit`"),
            "heading_unit": ("the unit of bare lengths in a list, by its heading", "the heading with another unit"),
            "ditto": ("cells that repeat the one above", "`lists.repeat_above`"),
            "on_sale": ("the lengths and prices that were read", "`--stock` or `--prices`"),
            "kerf": ("the kerf", "`saw.kerf`"),
            "end_trim": ("the end trim", "`saw.end_trim`"),
            "end_trim_cut": ("the end trim includes its squaring cut", "`saw.end_trim_includes_cut`"),
            "saw": (
                "which of several saws parts are cut on",
                "the saw under Saw, or the order of the `[[saw]]` blocks",
            ),
            "dealt": (
                "what one saw has of bars that several could cut",
                "the saw under Saw, so that one cuts them all",
            ),
            "serving": ("a grade that serves another one", "`grades.never`, or the grade meant"),
            "mill_ends": ("mill ends are trimmed, or used as they come", "`saw.mill_ends_accepted`"),
            "safe_hold": ("the shortest piece that the vice holds", "`saw.safe_hold`"),
            "clamp": ("which side of a cut the vice holds", "`saw.clamp`"),
            "square_reads": ("what the scale reads at a square cut", "`saw.square_reads`"),
            "share_mitres": ("whether mitres share cuts", "`saw.share_mitres`"),
            "swings": ("which way the saw swings", "`saw.swings`"),
            "keep": ("from which length left overs are kept", "`keep.<family>`"),
            "full_length": ("bars are counted on at their nominal length", "`minus_tolerance.<family>`"),
            "offcut_value": ("kept offcuts are worth nothing", "`offcut_value_per_m.<family>`"),
            "carry": ("any length can be brought home", "`carry.longest`"),
            "heavy": ("from which mass a bar is heavy", "`carry.heavy_kg`"),
            "paper": ("the paper", "`workshop.paper`"),
            "labels": ("the sheet of labels", "`workshop.labels`"),
            "standard": ("the standard of parts with none", "Standard, or `standards.<family>`"),
            "finish": ("the finish of parts with none", "Finish, or `defaults.finish`"),
            "grade": ("parts with no grade may be of any", "Grade"),
            "mark": ("parts with no mark were numbered", "Mark"),
            "length_is": ("to where mitred parts are measured", "Length is, or `defaults.mitre_length`"),
            "lean": ("two mitres on a part lean opposite ways", "Lean"),
            "allowance": ("what is added to parts from above the headings", "a column of the allowance"),
            "assemblies": ("how often an assembly is made", "a line marked assembly"),
            "times": ("how often the whole list is made", "--times"),
            "made_once": ("assemblies that no line says a number of", "a line marked assembly"),
            "opposite_hand": ("how the opposite hand is made of a part", "a part with a mark of its own"),
            "holes_sheet": ("the sheet that holes were read from", "`--holes`"),
            "hole_position": ("from where positions of holes count", "nothing"),
            "hole_face": ("the face of holes with none", "Face"),
            "hole_walls": ("holes in tube go through both walls", "Drilled"),
            "no_prices": ("no price list: the least mass is bought", "`--prices`"),
            "currency": ("the currency", "`workshop.currency`"),
            "no_tax": ("no tax is added", "`tax.percent`"),
            "tax_on_top": ("prices do not include tax", "`tax.prices_include_tax`"),
            "merchant_charges": ("merchants without charges", "a block `merchant`"),
            "ledger": ("the rack is the ledger", "`--rack`"),
            "offcut_ends": ("offcut ends that are not stated are sawn", "End A and End B"),
            "book_value": ("the book value of offcuts with none", "Book value"),
            "density": ("what a material weighs", "`steel.density` or a block `material`"),
            "unlisted": ("a size that no table lists", "a listed size"),
            "together": ("lists are planned and bought together", "a command for each"),
            "again": ("what a plan of the rest takes as done", "nothing"),
        },
    ),
    "joined": (
        "lists that can be planned as one job",
        {
            "names": "two lists of one name",
            "settings": "lists that differ in what a job has once",
            "marks": "warning: a mark that another list has for another part",
        },
    ),
    "file": (
        "a file that can be read or written",
        {
            "missing": "no such file",
            "folder": "a folder in its place",
            "device": "a device in its place",
            "denied": "a file that may not be read",
            "unreadable": "a file that cannot be read",
            "large": "a file above the limit of size",
            "empty": "an empty file",
            "kind": ("a file of another kind than its name says", "csv or xlsx"),
            "encrypted": ("a workbook with a password", "one saved without"),
            "encoding": ("bytes that are no text of a known encoding", "UTF-8"),
            "encoding_assumed": ("warning: text read as Windows-1252", "UTF-8"),
            "csv": ("a quotation mark left open, or too many characters in a cell", "csv text"),
            "columns": "more columns than are read",
            "damaged": ("a workbook that cannot be read", "one saved again by the spreadsheet program"),
            "ambiguous": ("a workbook that two ways of reading see differently", "one saved again"),
            "unpacked": ("a workbook that unpacks to more than is read", "a smaller one"),
            "open": ("a file that is open in a spreadsheet program", "a closed one"),
            "exists": ("a file or folder that is there already", "another name"),
            "name": ("a name with another ending", "the ending asked for"),
            "unwritable": "a file or folder that cannot be written",
            "changed": "a file that another program changed meanwhile",
            "disk": ("a disk that is full or fails", "room on it"),
            "in_use": ("a folder that another run writes into", "one run at a time"),
        },
    ),
    "batch": (
        "lists, and folders with lists in them",
        {
            "no_list": "a folder with no parts list in it",
            "one_list": ("one list, where several are to be bought together or apart", "two lists or more"),
            "one_place": ("plans of several lists that would go to one folder", "lists of different names"),
        },
    ),
    "cluster": (
        "a running dask scheduler whose workers have the same releases as this computer",
        {
            "library": ("a cluster, and the library for it is not installed", 'pip install "cutplan[cluster]" first'),
            "address": "no scheduler that answers at this address",
            "worker": "a scheduler with no worker",
            "releases": "workers of another release, whose plans may differ",
        },
    ),
    "season": (
        "keys of the workshop file with other values",
        {
            "key": ("no key of the workshop file, or one with no value", "such as keep=600 mm"),
            "day": (
                "lists of which some begin with a day and others not, or with one that no calendar has",
                "names that all begin with their day, such as 2031-05-05 gate.csv, or none",
            ),
        },
    ),
    "plan_file": (
        "a plan file as cutplan wrote it",
        {
            "json": "text that is no such JSON",
            "version": "another version of the schema",
            "schema": "a value that the schema does not have",
            "values": "values that cannot be a plan",
        },
    ),
    "plan": (
        "a job that can be planned",
        {
            "impossible": "no plan is possible",
            "refused": "the checker refused the plan",
            "rack": ("no note that says which rack a plan belongs to", "--ledger or --workshop"),
            "recorded": ("a plan that was recorded before", "a plan that was not"),
            "begun": ("a plan of another list that is begun, in the folder", "another folder, such as with `--out`"),
            "replaced": ("warning: a plan of another list that was in the folder before", "a folder for each list"),
            "letters": ("warning: letters that the shipped font lacks", "any; paper shows them if the system can"),
        },
    ),
    "parameters": (
        "a TOML file of parameters of the search",
        {"file": "no such file", "unknown": "a parameter that is not known", "value": "a value of another kind"},
    ),
    "command": (
        "what --help of the command says",
        {
            "usage": "a word or an option that the command does not have",
            "either": ("both or neither of two options", "one of them"),
            "needed": ("an option missing that another needs", "both"),
            "choice": ("a value that the option does not take", "one that it does"),
            "topic": ("a page that the manual does not have", "one of its topics"),
            "code": ("not the text of a code on a label", "such as cutplan:part?plan=0a1b2c3d&mark=T1&copy=2"),
        },
    ),
    "sum": (
        "dimensions that can be built",
        {
            "size": "not two sizes with an x between them",
            "depth": "no depth, or one that is no side of the section",
            "room": "parts, or depths, that leave no room",
            "count": "a number of parts out of bounds",
            "gap": "a widest gap of the whole length or more",
            "brace_depth": "a depth larger than the side that the ends bear against",
            "brace_steep": "an end steeper than the saw cuts",
            "rail": (
                "a rail that the list has not, or that the distance does not lie on",
                "one that it lies on, or --from",
            ),
        },
    ),
    "record": (
        "a cut record as the plan's form has it",
        {
            "bar": "a bar that the plan does not have, or one twice",
            "bar_missing": "a bar of the plan without a row",
            "plan": "a source that is not the plan's",
            "cut": "neither yes, nor no, nor a number of parts of the bar",
            "partly": "a bar cut in part with a left over that does not tell how far",
            "left_over": "a left over that the bar cannot have",
            "usable": ("what is usable of a bent bar not said", "a length, 0 for nothing"),
            "spoiled": "spoiled parts that the bar does not have",
            "measured": ("what a spoiled part came to not said", "a length, 0 for scrap"),
        },
    ),
    "delivery": (
        "what was ordered, as it was given",
        {
            "line": "a line that was not ordered",
            "length": "a length far from the one ordered",
            "wall": "a wall far from that of the section",
            "nothing": "nothing that was given",
            "recorded": "a plan whose lengths came onto the rack before",
        },
    ),
    "count": (
        "one row for each piece of the place",
        {
            "unreadable": ("not a number of pieces", "a whole number, 0 where none was found"),
            "twice": "a mark twice",
            "offcut": ("more than one of an offcut", "at most 1"),
            "missing": "no row for a piece that should lie there",
            "place": ("a sheet of another place", "the sheet of the place that is counted"),
        },
    ),
    "replan": (
        "what was cut or went wrong",
        {
            "nothing": ("nothing said of what was cut", "a cut record, --spoiled, --bar or --bent"),
            "bar": "a bar that the plan does not have",
            "part": "a part that is not of the bar",
            "copy": "a copy that is not of the bar, or not said",
            "measured": "a measured length that the bar cannot have, or what a spoiled part came to not said",
            "kerf": "a kerf with which the plan cannot be",
            "parts": "a part under the mark of a cut one with other dimensions",
            "bent": ("a bent bar of which parts are ticked", "a bar that is not cut"),
            "usable": ("what is usable of a bent bar not said, or more than it has", "a length for each bent bar"),
        },
    ),
    "bench": (
        "what the page asks for",
        {
            "busy": ("as many plans being made as may run side by side", "one more once one of them is done"),
            "field": "a field of a form that is missing or cannot be read",
            "stopped": ("a search that ended without a plan", "the same again"),
            "changed": ("a tick of a plan that is another by now", "the page opened anew"),
            "name": ("a name that no file of the folder may have", "letters, digits, spaces, hyphens and full stops"),
            "there": ("a file that is there already, or changed meanwhile", "another name, or the file opened anew"),
            "lists": ("lists that cannot be bought together as they are chosen", "two or more sound ones"),
            "elsewhere": ("a workshop file of a folder further up", "changes made there, or one of this folder's own"),
            "outside": (
                "a file outside the folder, named on a page or in a workbook given there",
                "a file of the folder, or the workshop file changed by hand",
            ),
            "port": ("a port at which something else listens", "one that is free"),
            "folder": ("no folder", "one with parts lists in it, or where they are to be"),
        },
    ),
    "minutes": (
        "minutes, all together or by kind, such as 520 or saw 180, drill 40",
        {
            "unreadable": "not minutes",
            "none": ("no minutes at all", "more than 0"),
            "late": ("minutes of a plan that was recorded before", "`cutplan undo`, and recorded again with them"),
            "twice": ("one kind of work twice", "each once"),
        },
    ),
    "quote": (
        "a quote of a job whose prices are all known, under a number of its own",
        {
            "number": ("a number that another quote has", "such as Q7 or 2031-014"),
            "over": ("a last day before the day of the quote", "that day or a later one"),
            "price": ("a job of which a price is missing", "a price for every section and thing"),
        },
    ),
    "job": (
        "what can be done to a plan next",
        {
            "stage": "a step that does not follow from where the plan is",
            "id": ("an id under which something else was ticked", "an id of its own for each time"),
            "gap": ("a part ticked with one before it on its bar not ticked", "parts ticked from START on"),
            "ticked": ("fewer parts cut, or others spoiled, than are ticked", "a record of at least what is ticked"),
            "in_part": ("parts ticked and others not", "--ticked or --all"),
            "part": ("a part that is not of the plan or the bar, or not told from others", "its mark, bar and copy"),
            "unknown": ("a job that is not there, or several", "a plan.json or the name of one job"),
            "unfinished": ("a job of which parts are still to cut", "--unfinished"),
            "buys_nothing": ("an order of a plan that buys nothing", "a plan with lengths to buy"),
            "merchant": ("a merchant that the plan does not buy from, or not said", "one that it buys from"),
            "ordered": ("an order that was noted otherwise before", "the same again"),
            "day": ("not a day", "a day such as 2031-06-01"),
        },
    ),
    "rack": (
        "a piece of the rack as it is",
        {
            "mark": "not a mark",
            "mark_unknown": "a mark that the rack does not have",
            "mark_taken": ("a mark that a piece has or had", "another, or none to be given one"),
            "several_marks": ("one mark for several offcuts", "a mark for each"),
            "slant": ("a slanted end, and not what it runs across", "what it runs across, or a square end"),
            "count": ("none, or more pieces at once than are put on the rack", "at least 1, or fewer at a time"),
            "end": ("not the state of an end", "mill or sawn"),
            "gone": "a piece that is not on the rack any more",
            "changed": "a rack that changed since it was read",
            "held": "a piece that another job holds",
            "quantity": "more than lie there, or how many of several not said",
            "correction": "a correction that makes another piece of it, or none",
            "wall": "a wall that the section cannot have",
            "left_of": ("what is left of a piece that was taken not said", "a length, or whole"),
            "not_out": "a piece that was not taken, or longer than it was",
            "nothing_held": "a job or mark of which nothing is held",
            "nothing_undone": "nothing left to undo",
            "no_ledger": ("pieces to hold for a plan that draws from no ledger", "a plan of the ledger's offcuts"),
            "no_length": "no length of those received that a bar's cuts fit",
        },
    ),
    "ledger": (
        "a sound ledger in a folder that can be written",
        {
            "missing": "no ledger",
            "other_file": "a file that is no ledger",
            "version": "a ledger of a newer cutplan",
            "damaged": "a ledger that does not hold together",
            "copy": "a copy that does not hold",
            "busy": ("a ledger that another program holds", "one that is free"),
            "share": ("a network share without locks", "a folder of this computer"),
            "unusable": "a ledger that cannot be read or written",
        },
    ),
}


def _all() -> dict[str, Code]:
    every: dict[str, Code] = {}
    for subject, (accepted, codes) in _SUBJECTS.items():
        for word, about in codes.items():
            every[f"{subject}.{word}"] = Code(about, accepted) if isinstance(about, str) else Code(*about)
    return every


CODES = _all()
"""Every code with what it means."""
