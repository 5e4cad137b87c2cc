"""sennit: from a short brief to several ranked loops of interlocking guitar-like parts."""

__version__ = "0.1.0"
