"""Tests of the sound."""
