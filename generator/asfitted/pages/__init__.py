"""What each page shows, the two editions as plain trees of Markdown and SVG, and the site engine that renders them."""
