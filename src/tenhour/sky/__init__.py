"""Outdoor light: climate, its spread, beam and diffuse, sky radiance, photons."""
