"""Sound and film: the only package that imports PyAV (FFmpeg)."""
