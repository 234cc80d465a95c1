"""plan.json: a job and its plan with all that another program needs to recheck both.

Base values are read back into the same Job and Plan. Values that follow from
them (totals, the solver's whole numbers, which grades serve a part) are written
for the reader's sake, are never read back, and can be held against the base
values by :func:`contradictions`.
"""

from cutplan.planfile.differences import differences_from, files_written_again, of_the_rest
from cutplan.planfile.digest import digest_failures, digest_of
from cutplan.planfile.document import SCHEMA_VERSION, plan_digest, schema, to_document
from cutplan.planfile.files import contradictions, read_document, write
from cutplan.planfile.parsing import from_document

__all__ = [
    "SCHEMA_VERSION",
    "contradictions",
    "differences_from",
    "digest_failures",
    "digest_of",
    "files_written_again",
    "from_document",
    "of_the_rest",
    "plan_digest",
    "read_document",
    "schema",
    "to_document",
    "write",
]
