"""Text and packaged data to checked objects."""
