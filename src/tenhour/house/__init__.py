"""Geometry of the house and light on its surfaces."""
