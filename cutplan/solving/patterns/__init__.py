"""Pattern spaces: all ways of cutting one bar, and how they are weighed, priced and listed."""
