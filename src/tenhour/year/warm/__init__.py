"""Warmth in the house: the hourly balance of this house and winter, and what helps."""
