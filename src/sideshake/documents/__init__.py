"""Results on paper: PDFs set by Typst from our own templates, the same bytes for the same input."""
