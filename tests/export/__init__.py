"""Tests of the exports."""
