"""Decisions over the science: sowing, season, lighting, diagnosis."""
