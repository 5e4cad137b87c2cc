"""Tests of the picture."""
