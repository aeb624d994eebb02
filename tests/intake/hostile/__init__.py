"""Broken and hostile files, made by scripts with fixed seeds; none is kept as a file."""
