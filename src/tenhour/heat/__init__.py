"""Heat of the house hour by hour: weather, films, ground, stores, heaters and the balance that joins them."""
