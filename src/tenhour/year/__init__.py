"""The only place that knows the whole order, from site to answer."""
