"""Which merchants to buy from: the groups' plans put together, charges included, with proof."""

from cutplan.buying.merchants import plan_job

__all__ = ["plan_job"]
