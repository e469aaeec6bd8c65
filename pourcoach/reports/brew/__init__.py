"""One brew in words, tables and figures."""
