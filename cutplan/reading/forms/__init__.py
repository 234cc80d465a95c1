"""Forms filled in at the saw, at the gate and at the rack."""
