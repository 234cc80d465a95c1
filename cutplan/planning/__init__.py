"""Which merchants to buy from: the groups' plans put together, charges included, with proof."""

from cutplan.planning.oldest import oldest_first
from cutplan.planning.purchase import plan_job
from cutplan.planning.staying import Lying, rest_of

__all__ = ["Lying", "oldest_first", "plan_job", "rest_of"]
