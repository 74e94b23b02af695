"""The local page: one house file drawn, dragged and asked in a browser on this computer."""
