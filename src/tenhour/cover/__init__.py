"""Transmission of glass, sheet, film and fleece."""
