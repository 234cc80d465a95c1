"""Sections: families, spelling of designations, and area, mass and surface per metre."""
