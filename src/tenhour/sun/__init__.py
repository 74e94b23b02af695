"""Where the sun is and how long the day lasts."""
