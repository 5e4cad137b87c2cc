"""Tests of takes on disk."""
