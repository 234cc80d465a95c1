"""An enquiry to one merchant, as the text of a message."""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.model import Workshop
from cutplan.words.naming import grade_text, section_words


def enquiry_line(
    count: int, length: str, name: str, standard: str, grade: str, finish: str, wanted: str = "", serves: str = ""
) -> str:
    """``about 3 lengths x 6 m SHS 40x40x3, EN 10219-2, any grade, black``.

    Parameters
    ----------
    count
        About how many are wanted; 0 where that cannot be said.
    length
        In words; blank asks for those that are sold.
    wanted
        What the parts come to, said where no length is known.
    serves
        The grade asked, where another one is to be quoted for it.
    """
    in_words = grade_text(grade, "any grade") + (f", serves {serves}" if serves else "")
    what = section_words(name, standard, in_words, finish)
    if not length:
        return f"{what}, in the lengths you sell; for {wanted}"
    number = f"about {count} {'length' if count == 1 else 'lengths'} x " if count else "lengths of "
    return f"{number}{length} {what}"


def enquiry_text(merchant: str, job: str, lines: Sequence[str], workshop: Workshop) -> str:
    """The message."""
    sender = ", ".join(filter(None, (workshop.name, workshop.address)))
    text = [f"Enquiry: {job}"]
    text += [f"To: {merchant}"] if merchant else []
    text += [f"From: {sender}"] if sender else []
    text += ["", "Please quote for these, each per length or per metre, foot or weight:", ""]
    text += [f"{place}. {line}" for place, line in enumerate(lines, 1)]
    tax = "with" if workshop.prices_include_tax else "without"
    text += ["", f"Prices in {workshop.currency}, {tax} tax. Which of them do you not sell, or have too few of?"]
    text.append(
        "What do you charge for delivery, and from which sum on is it free? What for a cut, and are some free? "
        "Is there a minimum order? The form has a sheet for it."
    )
    text += [f"Certificate wanted: {workshop.certificate}."] if workshop.certificate else []
    return "\n".join(text) + "\n"
