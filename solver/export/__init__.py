"""One file per export format."""
