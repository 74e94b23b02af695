"""Pictures drawn with matplotlib: SVG that follows the page's colours, or PNG."""
