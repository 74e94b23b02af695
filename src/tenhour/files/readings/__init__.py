"""Tables of readings, of light or of warmth."""
