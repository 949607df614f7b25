"""The use cases, each once: called alike by the command line, the workshop's pages, and Python."""
