"""Figures of this program on this machine: ``python -m tests.bench`` prints them. None of them is a test."""
