"""Parts list, price list, workshop and rack to a Job, or every Problem at once.

:func:`read_job` is the face, :func:`read_offers` reads a further price list alone, :func:`workshop_of` the workshop
file, and :func:`parts_lists_in` looks a folder through for lists. From the bottom: sheets (raw cells), headings, tables
(rows with their place), material, then one module per file, ``job_files``, which finds the files of a job, and
``whole_job``, which puts them together and checks what only the whole can know.
"""

from cutplan.reading.finding_lists import delimiter_of, part_sheets, parts_lists_in, price_lists_in
from cutplan.reading.job_files import workshop_of
from cutplan.reading.whole_job import (
    read_answers,
    read_drawn,
    read_further,
    read_job,
    read_offers,
    warnings_of_prices,
)

__all__ = [
    "delimiter_of",
    "part_sheets",
    "parts_lists_in",
    "price_lists_in",
    "read_answers",
    "read_drawn",
    "read_further",
    "read_job",
    "read_offers",
    "warnings_of_prices",
    "workshop_of",
]
