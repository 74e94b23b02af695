"""How crops grow, and when seedlings stretch."""
