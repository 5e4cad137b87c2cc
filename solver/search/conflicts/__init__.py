"""Why no arrangement exists: minimal conflicts among the brief's lines, and changes that help."""
