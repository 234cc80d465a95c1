"""An enquiry as the text of a message."""

from __future__ import annotations

from cutplan.model import Workshop
from cutplan.words.enquiry_words import enquiry_line, enquiry_text


def test_lines_say_about_how_many() -> None:
    made_of = ("SHS 40x40x3", "EN 10219-2", "", "black")
    assert enquiry_line(3, "6 m", *made_of) == "about 3 lengths x 6 m SHS 40x40x3, EN 10219-2, any grade, black"
    assert enquiry_line(1, "6 m", *made_of).startswith("about 1 length x 6 m")
    assert enquiry_line(0, "", *made_of, wanted="6 parts, 6.5 m") == (
        "SHS 40x40x3, EN 10219-2, any grade, black, in the lengths you sell; for 6 parts, 6.5 m"
    )


def test_the_message() -> None:
    shop = Workshop(name="Forge", address="4 Mill Lane", certificate="EN 10204 type 3.1", prices_include_tax=True)
    assert enquiry_text("Yard", "gate", ["about 3 lengths"], shop) == (
        "Enquiry: gate\nTo: Yard\nFrom: Forge, 4 Mill Lane\n\n"
        "Please quote for these, each per length or per metre, foot or weight:\n\n1. about 3 lengths\n\n"
        "Prices in EUR, with tax. Which of them do you not sell, or have too few of?\n"
        "What do you charge for delivery, and from which sum on is it free? What for a cut, and are some free? "
        "Is there a minimum order? The form has a sheet for it.\n"
        "Certificate wanted: EN 10204 type 3.1.\n"
    )
