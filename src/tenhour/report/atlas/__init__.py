"""A run over many sites as a data set, tables, maps and a page."""
