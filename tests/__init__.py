"""Tests, in the layout of the package; ``outside`` holds checks against published values."""
