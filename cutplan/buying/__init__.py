"""Which merchants to buy from: the groups' plans put together, charges included, with proof."""

from cutplan.buying.merchants import plan_job
from cutplan.buying.oldest import oldest_first
from cutplan.buying.staying import Lying, rest_of

__all__ = ["Lying", "oldest_first", "plan_job", "rest_of"]
