"""The independent checker: does this Plan answer this Job, and does its Proof hold?

Everything is derived anew from the Job in exact whole numbers. Nothing here
knows a solver: the room imports the model and the units, and no one's workings.
"""

from cutplan.checking.proof import review_proof
from cutplan.checking.verdict import Review, check, review

__all__ = ["Review", "check", "review", "review_proof"]
