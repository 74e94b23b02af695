"""The page: one self-contained HTML file, made of escaped text, tables and inline SVG."""
