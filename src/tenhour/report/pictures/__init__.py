"""Pictures: SVG that follows the page's colours, or PNG."""
