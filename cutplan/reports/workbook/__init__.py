"""plan.xlsx and the forms to fill in."""
