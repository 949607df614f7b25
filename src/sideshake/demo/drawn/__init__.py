"""The season's photographs, drawn: each picture is SVG of our own, made into a JPEG."""
