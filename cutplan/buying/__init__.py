"""Which merchants to buy from: the groups' plans put together, charges included, with proof."""

from cutplan.buying.merchants import plan_job
from cutplan.buying.oldest import oldest_first

__all__ = ["oldest_first", "plan_job"]
