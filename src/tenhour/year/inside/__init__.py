"""Light on the beds: the house as the light model takes it, its panes, its lamps, single moments and spots."""
