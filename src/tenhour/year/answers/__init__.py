"""Answers: each a function of the house-year, and each asked by one command."""
