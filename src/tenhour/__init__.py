"""Plans a winter greenhouse by its light."""

__version__ = "0.1.0"
