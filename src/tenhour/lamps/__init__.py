"""Photons, watts and hours of lamps."""
