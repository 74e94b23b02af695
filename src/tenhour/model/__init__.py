"""Checked, frozen data objects: site, house, bed, lamp, crop, results."""
