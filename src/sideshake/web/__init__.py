"""The workshop application: records, pages and uploads, on one computer at the bench."""
