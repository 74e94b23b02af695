"""Regions, grids and the parts of a run over many sites, on disk."""
