"""Parts list, price list, workshop and rack to a Job, or every Problem at once.

:func:`read_job` is the face, :func:`read_offers` reads a further price list
alone and :func:`workshop_of` the workshop file. From the bottom: sheets (raw cells), headings, tables (rows with their
place), material, then one module per file, and ``job``, which puts them
together and checks what only the whole can know.
"""

from cutplan.reading.whole_job import read_job, read_offers, workshop_of

__all__ = ["read_job", "read_offers", "workshop_of"]
