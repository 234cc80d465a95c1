from __future__ import annotations

import tomllib

import pytest

from cutplan.reading.workshop.toml_faults import toml_fault

FORBIDDEN = "what TOML does not allow"
STRAIGHT = 'quotation marks are straight ones: "2 mm"'
PATH = "in the name of a file write / in place of \\"
HEADING = "a heading begins and ends with brackets, such as [saw] or [[merchant]]"
QUOTED = 'a text such as 6.5 m stands in quotation marks: "6.5 m"'
EQUALS = 'a line is a key, = and its value: kerf = "2 mm"'
ONE_OF_THEM = "keep one of the two lines"
BELOW = "put new lines below the heading that is there, in place of the keys of their names"


@pytest.mark.parametrize(
    ("text", "where", "found", "hint"),
    [
        ('[saw]\n\tkerf = "2 mm"\n\n\tkerf="3 mm" # wider\n', "line 4", '"kerf" again, as in line 2', ONE_OF_THEM),
        ('[keep]\nSHS = "1 m"\n [ keep ] # mine\nFL = 1\n', "line 3", "[keep] again, as in line 1", BELOW),
        (
            '[saw]\nkerf = 1\n[keep]\nkerf = 1\n["keep"]\n',
            "line 5",
            "a heading, or a key below one, that stands",
            BELOW,
        ),
        ("[saw]\nkerf = 1\n[keep]\nkerf = 1\nkerf = 2\n", "line 5", '"kerf" again, as in line 4', ONE_OF_THEM),
        ("saw.kerf = 1\n[saw]\nkerf = 2\n", "line 2", "a heading, or a key below one, that stands", BELOW),
        ("[saw]\nkerf = 2 mm\n", "line 2", FORBIDDEN, QUOTED),
        ("[saw]\nkerf = 2,5\n", "line 2", FORBIDDEN, QUOTED),
        ("[saw]\nkerf = “2 mm”\n", "line 2", FORBIDDEN, STRAIGHT),
        ("[saw]\nkerf = ‘2 mm’\n", "line 2", FORBIDDEN, STRAIGHT),
        ('[files]\nprices = "C:\\Users\\prices.csv"\n', "line 2", FORBIDDEN, PATH),
        ("[saw\nkerf = 2\n", "line 1", FORBIDDEN, HEADING),
        ("[saw]]\nkerf = 2\n", "line 1", FORBIDDEN, HEADING),
        ("[saw]\nkerf: 2\n", "line 2", FORBIDDEN, EQUALS),
        ("[saw]\nkerf is 2 mm\n", "line 2", FORBIDDEN, EQUALS),
        ('[saw]\nkerf = "2 mm\n', "line 2", FORBIDDEN, QUOTED),
    ],
)
def test_a_fault_says_where_it_is_and_what_would_mend_it(text: str, where: str, found: str, hint: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError) as error:
        tomllib.loads(text)
    reason, _, place = str(error.value).partition(" (at ")
    fault = toml_fault(text, reason, place.removesuffix(")"))
    assert fault.where.startswith(where)
    assert fault.found.startswith(found)
    assert fault.hint == hint


def test_the_end_of_a_file_has_no_line_to_look_at() -> None:
    fault = toml_fault("[saw]\nkerf =", "Invalid value", "end of document")
    assert (fault.where, fault.hint) == ("end of document", QUOTED)
